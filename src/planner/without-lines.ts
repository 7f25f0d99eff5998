// A plan without some of its order lines: what was filled for them alone is filled no more.
import { addDays } from './days.ts'
import type { Plan, Problem } from './problem.ts'

/**
 * The plan without the lines' deliveries and verdicts, and without the containers that its runs fill for them. Runs on
 * frozen days and fixed ones stay as they are (F1); what they fill for the lines becomes stock. Open it for trial
 * placements to have brews, transfers and dumping follow.
 */
export function withoutLines(problem: Problem, plan: Plan, lineIds: ReadonlySet<string>): Plan {
  if (lineIds.size === 0) return plan
  const thawed = addDays(problem.today, problem.frozenDays ?? 0)
  const freed = new Map<string, number>()
  for (const { orderLineId, from } of plan.deliveries) {
    if (!lineIds.has(orderLineId)) continue
    for (const { fillRunId, quantity } of from)
      if (fillRunId !== undefined) freed.set(fillRunId, (freed.get(fillRunId) ?? 0) + quantity)
  }
  const others = <T extends { orderLineId: string }>(list: readonly T[]) =>
    list.filter(({ orderLineId }) => !lineIds.has(orderLineId))
  return {
    ...plan,
    fillRuns: plan.fillRuns
      .map((run) => {
        const stays = run.fixed === true || run.on < thawed
        return stays ? run : { ...run, quantity: run.quantity - (freed.get(run.id) ?? 0) }
      })
      .filter(({ quantity }) => quantity > 0),
    deliveries: others(plan.deliveries),
    unserved: others(plan.unserved),
    late: others(plan.late ?? []),
    brokenPromises: others(plan.brokenPromises ?? []),
  }
}
