// Connections: what every one of them has, and the words that describe it.
import type { z } from 'zod'
import type { builder } from './builder.ts'
import { isCounted } from './counted.ts'
import type { Columns, pagedShape } from './cursors.ts'

/**
 * Options of a connection of `plural` things, such as `pages('Vessel', 'vessels')`: spread them behind the field's own
 * options, which must have `totalCount`, and `pagedBy` as `cursor`.
 */
export function pages(kind: string, plural: string, pagedBy: Columns = 'distributorId_id') {
  return [
    connectionOptions(kind, plural, pagedBy),
    { name: `${kind}Edge`, description: `One of the ${plural} of a page.` },
  ] as const
}

function connectionOptions(kind: string, plural: string, pagedBy: Columns) {
  return {
    name: `${kind}Connection`,
    description: `A page of ${plural}.`,
    extensions: { pagedBy } satisfies z.input<typeof pagedShape>,
    fields: (t: PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, object>) => ({
      totalCount: t.int({
        description: `How many ${plural} there are over all pages.`,
        extensions: { pothosPrismaTotalCount: true },
        resolve: (page) => {
          if (!isCounted(page)) return 0
          return typeof page.totalCount === 'number' ? page.totalCount : page.totalCount()
        },
      }),
    }),
  }
}
