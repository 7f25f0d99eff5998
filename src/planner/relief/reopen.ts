// A plan, opened from its document: the state in which reliefs are sought is the one in which a caller verifies them.
import type { Plan, Problem } from '../problem.ts'
import { compile } from '../search/compile.ts'
import type { Moved } from '../search/fixed.ts'
import { layBaseline } from '../search/lay-baseline.ts'
import { openState } from '../search/standing.ts'
import type { State } from '../search/state.ts'
import { byBirth, servesOnTime } from './on-time.ts'

/** The plan as the plan in force: its placements as they are, each as far as it holds; `loaded` where not all are wanted. */
export function reopen(problem: Problem, plan: Plan, loaded = plan): { based: Problem; state: State; moved: Moved[] } {
  const based: Problem = { ...problem, baseline: plan }
  const state = openState(compile(based))
  const { moved } = layBaseline(state, plan, loaded)
  for (const list of state.batches) list.sort(byBirth)
  return { based, state, moved }
}

/** As `reopen`, with the frozen days that the plan was made under: none where it had no baseline (F1). */
export function reopenAsMade(problem: Problem, plan: Plan, loaded = plan): State {
  return reopen({ ...problem, frozenDays: problem.baseline ? problem.frozenDays : 0 }, plan, loaded).state
}

/**
 * Would the planner serve a line of the problem on time, whatever it costs, beside everything else that the plan serves?
 * This is the question that a relief, applied to the problem, must answer with yes, and one unit less of it with no.
 */
export function servedOnTime(problem: Problem, plan: Plan, lineId: string): boolean {
  const state = reopenAsMade(problem, plan, withoutLine(problem, plan, lineId))
  const line = state.model.lines[state.model.indexOf.line.get(lineId) ?? -1]
  return line !== undefined && servesOnTime(state, line)
}

/** The plan without what serves a line: its deliveries, the containers filled for them, and transfers for these alone. */
export function withoutLine(problem: Problem, plan: Plan, lineId: string): Plan {
  const given = new Map<string, number>()
  for (const { orderLineId, from } of plan.deliveries) {
    if (orderLineId !== lineId) continue
    for (const { fillRunId, quantity } of from)
      if (fillRunId !== undefined) given.set(fillRunId, (given.get(fillRunId) ?? 0) + quantity)
  }
  const fillRuns = plan.fillRuns
    .map((run) => ({ ...run, quantity: run.quantity - (given.get(run.id) ?? 0) }))
    .filter((run) => run.quantity > 0)
  const bright = new Set(
    problem.beers.flatMap((beer) => beer.packs.filter((pack) => pack.drawFrom === 'BRIGHT').map((pack) => pack.id)),
  )
  const drawn = (runs: Plan['fillRuns']) =>
    new Set(runs.filter((run) => bright.has(run.packId)).map((run) => run.batchId))
  const before = drawn(plan.fillRuns)
  const after = drawn(fillRuns)
  return {
    ...plan,
    deliveries: plan.deliveries.filter((each) => each.orderLineId !== lineId),
    fillRuns,
    transfers: plan.transfers.filter(({ batchId, fixed }) => fixed || !before.has(batchId) || after.has(batchId)),
  }
}
