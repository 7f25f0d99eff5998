// A plan, opened so that it goes on serving whom it serves: where a day has passed, or containers do not come back because
// an order was cancelled, some deliveries no longer hold; their lines are placed anew. What no line takes and holds no more,
// such as a run to stock from a batch that is late, is dropped.
import { checkPlan } from '../checker/check-plan.ts'
import { deliveredByLine } from '../documents/delivered-by-line.ts'
import { firstServes, notBroughtForward } from '../documents/frozen-promises.ts'
import type { OrderLine, Plan, Problem } from '../documents/problem.ts'
import { withoutLines } from '../documents/without-lines.ts'
import type { State } from '../model/state.ts'
import { reopen } from '../opening/reopen.ts'
import { type Trial, trialIn } from './trial.ts'

export interface CarriedPlan {
  plan: Plan
  /** The plan, open for trial placements. */
  trial: Trial
}

/** The same with the state in which it is open. */
export interface OpenCarriedPlan extends CarriedPlan {
  state: State
}

/**
 * Opens a plan for a problem that may have moved on since. Where all of it holds it is the plan itself; else it is one that
 * keeps all rules: lines that lost their delivery are placed anew, promised ones first, and served late or not at all only
 * where they must be, and what holds no more and no line takes is dropped.
 */
export function carryForward(problem: Problem, plan: Plan): CarriedPlan {
  return openCarried(problem, plan)
}

/** As `carryForward`, for who goes on with the state. */
export function openCarried(problem: Problem, plan: Plan): OpenCarriedPlan {
  const served = deliveredByLine(plan.deliveries)
  const fallen = new Set<string>()
  for (;;) {
    const staying = problem.orderLines.filter(({ id }) => !fallen.has(id))
    const open = opened({ ...problem, orderLines: staying }, withoutLines(problem, plan, fallen))
    const { trial } = open
    const lost = staying.filter(({ id }) => trial.served(id) < (served.get(id)?.quantity ?? 0))
    if (lost.length === 0 && fallen.size === 0)
      return keepsRules(problem, plan) ? open : opened(problem, trial.commit([]).plan)
    if (lost.length === 0) {
      const lines = problem.orderLines.filter(({ id }) => fallen.has(id)).sort(byUrgency)
      const first = firstServes(plan.deliveries)
      const held = trial.commit(lines.map((line) => notBroughtForward(problem, line, first.get(line.id)))).plan
      return opened(problem, held)
    }
    for (const { id } of lost) fallen.add(id)
  }
}

/** Whether the plan is one of the problem as it is. What it moved and cost is not asked: that was said of the plan before it. */
function keepsRules(problem: Problem, plan: Plan): boolean {
  const { violations } = checkPlan({ ...problem, baseline: plan }, { ...plan, moved: [] })
  return violations.every(({ rule }) => rule === 'COST')
}

function opened(problem: Problem, plan: Plan): OpenCarriedPlan {
  const { based, state, moved } = reopen(problem, plan)
  return { plan, state, trial: trialIn({ state, moved, plan: () => plan, based: () => based }) }
}

/** Promised lines first, then by priority, then by day. */
export function byUrgency(a: OrderLine, b: OrderLine): number {
  const promised = Number(b.promisedOn !== undefined) - Number(a.promisedOn !== undefined)
  const day = (line: OrderLine) => line.promisedOn ?? line.serveOn
  return promised || a.priority - b.priority || (day(a) < day(b) ? -1 : day(a) > day(b) ? 1 : 0)
}
