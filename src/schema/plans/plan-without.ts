// What a plan is made without: as callers say it, and as a plan shows it.
import type { Without } from '../../resolvers/plans/without.ts'
import { builder } from '../builder.ts'
import { rowType } from '../row-type.ts'
import { ThingRefInput } from '../thing-ref.ts'

const ClosedDayInput = builder.inputType('ClosedDayInput', {
  description: 'A day on which nothing is brewed, filled or sent (T2).',
  fields: (t) => ({
    day: t.field({ type: 'LocalDate', required: true, description: 'The day; within the horizon.' }),
    site: t.field({ type: ThingRefInput, description: 'The site that is closed. Absent: every site.' }),
  }),
})

export const WithoutInput = builder.inputType('WithoutInput', {
  description: 'One thing that a plan is made without.',
  isOneOf: true,
  fields: (t) => ({
    vessel: t.field({
      type: ThingRefInput,
      description: 'A vessel: nothing enters it from today on; what stands in it may be drawn (V3).',
    }),
    filler: t.field({ type: ThingRefInput, description: 'A filler: it fills nothing (L1).' }),
    day: t.field({ type: ClosedDayInput, description: 'A day: a site, or every site, is closed (T2).' }),
  }),
})

export const LeftOutType = builder.objectRef<Without>('LeftOut').implement({
  description: 'What a plan was made without: a vessel, a filler, or a day.',
  fields: (t) => ({
    vessel: t.field({
      type: rowType('Vessel'),
      nullable: true,
      description: 'The vessel that nothing enters. Absent: it is no vessel.',
      resolve: (out, _args, { rows }) => (out.kind === 'VESSEL' ? rows.vessel.load(out.vesselId) : null),
    }),
    filler: t.field({
      type: rowType('Filler'),
      nullable: true,
      description: 'The filler that fills nothing. Absent: it is no filler.',
      resolve: (out, _args, { rows }) => (out.kind === 'FILLER' ? rows.filler.load(out.fillerId) : null),
    }),
    day: t.field({
      type: 'LocalDate',
      nullable: true,
      description: 'The day that is closed. Absent: it is no day.',
      resolve: (out) => (out.kind === 'DAY' ? out.day : null),
    }),
    site: t.field({
      type: rowType('Site'),
      nullable: true,
      description: 'The site that is closed on the day. Absent: every site, or it is no day.',
      resolve: (out, _args, { rows }) =>
        out.kind === 'DAY' && out.siteId !== undefined ? rows.site.load(out.siteId) : null,
    }),
  }),
})
