// What follows from a plan: where beer stands when, how full everything is by day, and how it differs from another.
import type { ObjectRef } from '@pothos/core'
import { NotFound } from '../errors.ts'
import { comparePlans } from '../resolvers/plans/compare-plans.ts'
import * as loads from '../resolvers/plans/loads.ts'
import { planIdOf } from '../resolvers/plans/plan-ref.ts'
import type { PlanView } from '../resolvers/plans/plan-view.ts'
import { builder } from './builder.ts'
import { PlanDifferencesType } from './plan-differences.ts'
import * as shown from './plan-loads.ts'
import { spanArgs, spanOf } from './span.ts'

const onDay = ({ day }: { day: string }): [string, string] => [day, day]

builder.prismaObjectFields('Plan', (t) => {
  /** A list that follows from the plan and its problem, cut to days. */
  const derived = <Entry extends object>(
    type: ObjectRef<typeof builder.$inferSchemaTypes, Entry>,
    description: string,
    of: (facts: PlanView['facts']) => Entry[],
    days: (entry: Entry) => [first: string, last: string],
  ) =>
    t.field({
      type: [type],
      description: `${description} By the records as they are now; at most ${shown.MOST_ENTRIES}, none until it is solved.`,
      args: spanArgs,
      select: { id: true },
      resolve: async ({ id }, args, context) => {
        const { from = '', to = '9999-12-31' } = spanOf(args)
        const view = await context.planView(id)
        if (!view) return []
        const entries = of(view.facts).filter((entry) => {
          const [first, last] = days(entry)
          return last >= from && first <= to
        })
        return entries.slice(0, shown.MOST_ENTRIES)
      },
    })
  return {
    vesselTimeline: derived(
      shown.VesselSpanType,
      'Which batch is in which vessel when, in order of vessel and day (V3).',
      loads.vesselSpans,
      ({ from, to }) => [from, to ?? '9999-12-31'],
    ),
    fillerLoad: derived(
      shown.FillerLoadType,
      'Minutes of each filler on each day on which it works (L1).',
      loads.fillerLoads,
      onDay,
    ),
    containers: derived(
      shown.CleanContainersType,
      'Clean containers of each fleet, day by day (C1).',
      loads.cleanContainers,
      onDay,
    ),
    storeLoad: derived(shown.StoreLoadType, 'What stands in each store, day by day (S1).', loads.storeLoads, onDay),
    routeLoad: derived(
      shown.RouteLoadType,
      'What each route takes on each day on which it takes something (D1).',
      loads.routeLoads,
      onDay,
    ),
    against: t.field({
      type: PlanDifferencesType,
      nullable: true,
      description: 'What it decides otherwise than another plan. Absent: it is not solved.',
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
