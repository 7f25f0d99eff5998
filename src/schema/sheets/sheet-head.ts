// The fields that every sheet begins with.
import type { NextWork, SheetHead, SheetMaking } from '../../sheets/sheet-head.ts'
import type { builder } from '../builder.ts'
import { rowType } from '../row-type.ts'

/** Most entries of a list of a sheet: far more than a day has. */
export const MOST = 1000

/** Of which records a sheet was made, and when. */
export function sheetMaking<Sheet extends SheetMaking>(
  t: PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, Sheet>,
) {
  return {
    revision: t.int({
      description: "The distributor's revision that it was made from.",
      resolve: ({ revision }) => revision,
    }),
    madeAt: t.field({
      type: 'DateTime',
      description: 'When it was made.',
      resolve: ({ madeAt }) => new Date(madeAt),
    }),
  }
}

/** Which site, day and revision a sheet is of. */
export function sheetHead(t: PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, SheetHead>) {
  return {
    site: t.field({
      type: rowType('Site'),
      nullable: true,
      description: 'The site.',
      resolve: ({ siteId }, _args, { rows }) => rows.site.load(siteId),
    }),
    day: t.expose('day', { type: 'LocalDate', description: 'The day.' }),
    ...sheetMaking(t),
  }
}

/** When there is work again. */
export function nextWork<Sheet extends NextWork>(
  t: PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, Sheet>,
) {
  return t.field({
    type: 'LocalDate',
    nullable: true,
    description:
      'Of a day without such work, the next day for which the plan in force has some. Absent: the day has work, or none is planned for a later day.',
    resolve: ({ nextDay }) => nextDay ?? null,
  })
}
