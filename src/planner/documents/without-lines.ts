// A plan without some of its order lines: what was filled for them alone is filled no more.
import { addDays } from '../calendar/days.ts'
import type { Plan, Problem } from './problem.ts'

/**
 * The plan without the lines' deliveries and verdicts, and without the containers that its runs fill for them. Runs on
 * frozen days and fixed ones stay as they are (F1); what they fill for the lines becomes stock. Open it for trial
 * placements to have brews, transfers and dumping follow.
 */
export function withoutLines(problem: Problem, plan: Plan, lineIds: ReadonlySet<string>): Plan {
  if (lineIds.size === 0) return plan
  const others = <T extends { orderLineId: string }>(list: readonly T[]) =>
    list.filter(({ orderLineId }) => !lineIds.has(orderLineId))
  const freed = plan.deliveries.flatMap(({ orderLineId, from }) => (lineIds.has(orderLineId) ? from : []))
  return {
    ...plan,
    fillRuns: filledLess(problem, plan.fillRuns, freed),
    deliveries: others(plan.deliveries),
    unserved: others(plan.unserved),
    late: others(plan.late ?? []),
    brokenPromises: others(plan.brokenPromises ?? []),
  }
}

/**
 * The plan with no more for some lines than the given whole containers: each keeps the first of what it takes, and what the
 * rest was filled from fills so much less, as above. Their verdicts stay; open the plan to have them judged anew.
 */
export function withFewer(problem: Problem, plan: Plan, most: ReadonlyMap<string, number>): Plan {
  const left = new Map(most)
  const freed: DeliverySource[] = []
  const deliveries = plan.deliveries.flatMap((delivery) => {
    const { orderLineId, from } = delivery
    if (!most.has(orderLineId)) return [delivery]
    const kept = from.flatMap((source) => {
      const rest = left.get(orderLineId) ?? 0
      const quantity = Math.min(source.quantity, rest)
      left.set(orderLineId, rest - quantity)
      freed.push({ ...source, quantity: source.quantity - quantity })
      return quantity > 0 ? [{ ...source, quantity }] : []
    })
    return kept.length > 0 ? [{ ...delivery, from: kept }] : []
  })
  return { ...plan, deliveries, fillRuns: filledLess(problem, plan.fillRuns, freed) }
}

type DeliverySource = Plan['deliveries'][number]['from'][number]

/** The runs without what was filled for some who take it no more; frozen and fixed ones stay as they are. */
function filledLess(problem: Problem, fillRuns: Plan['fillRuns'], freed: readonly DeliverySource[]): Plan['fillRuns'] {
  const thawed = addDays(problem.today, problem.frozenDays)
  const less = new Map<string, number>()
  for (const { fillRunId, quantity } of freed)
    if (fillRunId !== undefined) less.set(fillRunId, (less.get(fillRunId) ?? 0) + quantity)
  return fillRuns
    .map((run) => {
      const stays = run.fixed === true || run.on < thawed
      return stays ? run : { ...run, quantity: run.quantity - (less.get(run.id) ?? 0) }
    })
    .filter(({ quantity }) => quantity > 0)
}
