// What follows from a plan: where beer stands when, how full everything is by day, and how it differs from another.
import type { ObjectRef } from '@pothos/core'
import { NotFound } from '../../errors.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import { comparePlans } from '../../resolvers/plans/compare-plans.ts'
import * as loads from '../../resolvers/plans/loads.ts'
import { planIdOf } from '../../resolvers/plans/plan-ref.ts'
import type { PlanView } from '../../resolvers/plans/plan-view.ts'
import { vesselTimelines } from '../../resolvers/plans/vessel-timeline.ts'
import { builder } from '../builder.ts'
import { costOfDays, costOfTimelines, OF_TWO_PLAN_VIEWS } from '../costs.ts'
import { PlanDifferencesType } from './plan-differences.ts'
import * as shown from './plan-loads.ts'
import { spanArgs, spanOf } from './span.ts'
import { VesselTimelineType } from './vessel-timeline.ts'

/** Whether days touch the span that is asked for. Throws `InvalidInput`. */
function isWithin(args: Parameters<typeof spanOf>[0]): (first: LocalDate, last: LocalDate) => boolean {
  const { from = '', to = '9999-12-31' } = spanOf(args)
  return (first, last) => last >= from && first <= to
}

builder.prismaObjectFields('Plan', (t) => {
  /** A list that follows from the plan and its problem, cut to days. */
  const derived = <Entry extends { day: LocalDate }>(
    type: ObjectRef<typeof builder.$inferSchemaTypes, Entry>,
    description: string,
    of: (facts: PlanView['facts']) => Entry[],
  ) =>
    t.field({
      type: [type],
      description: `${description} By the records as they are now; at most ${shown.MOST_ENTRIES}, none until it is solved.`,
      args: spanArgs,
      complexity: costOfDays,
      select: { id: true },
      resolve: async ({ id }, args, context) => {
        const within = isWithin(args)
        const view = await context.planView(id)
        if (!view) return []
        const entries = of(view.facts).filter(({ day }) => within(day, day))
        return entries.slice(0, shown.MOST_ENTRIES)
      },
    })
  return {
    vesselTimeline: t.field({
      type: [VesselTimelineType],
      description: `What each vessel does day by day: beer and its ready day, cleaning, out of service, free (V3). By the records as they are now; at most ${shown.MOST_ENTRIES} vessels, none until it is solved.`,
      args: spanArgs,
      complexity: costOfTimelines,
      select: { id: true },
      resolve: async ({ id }, args, context) => {
        const within = isWithin(args)
        const view = await context.planView(id)
        const timelines = view ? vesselTimelines(view.facts).slice(0, shown.MOST_ENTRIES) : []
        return timelines.map(({ vesselId, spans }) => ({
          vesselId,
          spans: spans.filter(({ from, to }) => within(from, to)),
        }))
      },
    }),
    fillerLoad: derived(
      shown.FillerLoadType,
      'Minutes of each filler on each day on which it works (L1).',
      loads.fillerLoads,
    ),
    containers: derived(
      shown.CleanContainersType,
      'Clean containers of each fleet, day by day (C1).',
      loads.cleanContainers,
    ),
    storeLoad: derived(shown.StoreLoadType, 'What stands in each store, day by day (S1).', loads.storeLoads),
    routeLoad: derived(
      shown.RouteLoadType,
      'What each route takes on each day on which it takes something (D1).',
      loads.routeLoads,
    ),
    against: t.field({
      type: PlanDifferencesType,
      nullable: true,
      description: 'What it decides otherwise than another plan. Absent: it is not solved.',
      complexity: OF_TWO_PLAN_VIEWS,
      args: { plan: t.arg.id({ required: true, description: 'The id of the other plan, which is solved.' }) },
      select: { id: true },
      resolve: async ({ id }, { plan }, context) => {
        const other = await context.planView(planIdOf(plan))
        if (!other) throw new NotFound('Plan', plan)
        const view = await context.planView(id)
        return view ? comparePlans(view.plan, other.plan) : null
      },
    }),
  }
})
