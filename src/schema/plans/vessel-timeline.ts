// What each vessel does when under a plan (V3): the types behind `vesselTimeline`.
import type { VesselSpan, VesselSpanKind, VesselTimeline } from '../../resolvers/plans/vessel-timeline.ts'
import { builder } from '../builder.ts'
import { ONE_A_SPAN } from '../costs.ts'
import { rowType } from '../row-type.ts'

const KINDS: Record<VesselSpanKind, { description: string }> = {
  BATCH: { description: 'A batch that exists is in it.' },
  BREW: { description: 'Beer that the plan brews is in it.' },
  CLEANING: {
    description: 'It is empty and being cleaned: its turnaround days after the day on which it was emptied.',
  },
  OUT_OF_SERVICE: { description: 'It is out of service, or not available yet.' },
  FREE: { description: 'It is empty and clean, and nothing is planned for it.' },
}

const VesselSpanKindType = builder.enumType('VesselSpanKind', {
  description: 'What a vessel does on some days.',
  values: KINDS,
})

const VesselSpanType = builder.objectRef<VesselSpan>('VesselSpan').implement({
  description: 'Days on which a vessel does one thing (V3).',
  fields: (t) => ({
    kind: t.expose('kind', { type: VesselSpanKindType, description: 'What it does.' }),
    from: t.expose('from', { type: 'LocalDate', description: 'The first day; today for what is in it already.' }),
    to: t.expose('to', { type: 'LocalDate', description: 'The last day, at most the last day of the horizon.' }),
    beer: t.field({
      type: rowType('Beer'),
      nullable: true,
      description: 'The beer in it. Absent: it is empty.',
      resolve: ({ beer }, _args, { rows }) => (beer ? rows.beer.load(beer.beerId) : null),
    }),
    batch: t.field({
      type: rowType('Batch'),
      nullable: true,
      description: 'The batch, where it exists already. Absent: the plan brews it, or the vessel is empty.',
      resolve: ({ beer }, _args, { rows }) => (beer && !beer.isPlanned ? rows.batch.load(beer.batchId) : null),
    }),
    brew: t.string({
      nullable: true,
      description: "The planned brew's name within the plan. Absent: the batch exists, or the vessel is empty.",
      resolve: ({ beer }) => (beer?.isPlanned ? beer.batchId : null),
    }),
    readyOn: t.field({
      type: 'LocalDate',
      nullable: true,
      description: 'The first day on which containers may be filled from this vessel (T1, V4). Absent: it is empty.',
      resolve: ({ beer }) => beer?.readyOn,
    }),
    emptiedOn: t.field({
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which it is emptied. Absent: not within the horizon, or the vessel is empty.',
      resolve: ({ beer }) => beer?.emptiedOn,
    }),
    litres: t.float({
      nullable: true,
      description: 'Drawable litres that come into it (V2). Absent: the vessel is empty.',
      resolve: ({ beer }) => beer?.litres,
    }),
  }),
})

export const VesselTimelineType = builder.objectRef<VesselTimeline>('VesselTimeline').implement({
  description: 'What a vessel does day by day (V3).',
  fields: (t) => ({
    vessel: t.field({
      type: rowType('Vessel'),
      nullable: true,
      description: 'The vessel.',
      resolve: ({ vesselId }, _args, { rows }) => rows.vessel.load(vesselId),
    }),
    spans: t.expose('spans', {
      type: [VesselSpanType],
      complexity: ONE_A_SPAN,
      description:
        'What it does, in order of day: each day that was asked for is in one of them; at most one for each day of the horizon.',
    }),
  }),
})
