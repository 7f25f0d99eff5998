// A plan, opened to be followed from change to change. Lines that it lost are placed anew in the state in which it is open already.
import { verifyPlan } from '../checker/verify-plan.ts'
import type { Plan, Problem } from '../documents/problem.ts'
import { explainer, PLAN_RELIEFS } from '../explanation/explain.ts'
import { reuseReasons } from '../explanation/reuse-reasons.ts'
import { element } from '../model/element.ts'
import type { State } from '../model/state.ts'
import { asPlacedAnew, keepsRules, openWithLost, type WithLost } from './carry-forward.ts'
import { LivePlan, livePlanOf } from './live-plan.ts'
import { LiveState } from './live-state.ts'
import { brewName } from './rebase.ts'

/**
 * Opens a plan for a problem that may have moved on since, so that it goes on serving whom it serves (`carryForward`). Whether it
 * keeps all rules `isValid` says to who knows it already.
 */
export function openLivePlan(problem: Problem, plan: Plan, isValid?: boolean): LivePlan {
  const found = openWithLost(problem, plan)
  const holds = found.lost.length === 0 && (isValid ?? keepsRules(problem, plan))
  return holds ? livePlanOf(problem, found.open) : withLostAgain(problem, plan, found)
}

/** The plan without what holds no more, and with the lines that it lost in it again, as well as can be; no wish gives way to them. */
function withLostAgain(problem: Problem, plan: Plan, { open: { state, moved }, lost }: WithLost): LivePlan {
  const ids = new Set(lost.map(({ id }) => id))
  const explain = reuseReasons(state, plan, explainer(state, PLAN_RELIEFS))
  const recall = decisionsOfBefore(state)
  // What they lack is explained once they are placed.
  const live = new LiveState(problem, plan, state, (line) => (ids.has(line.id) ? [] : explain(line)))
  const rest = new LivePlan(live, { ...problem, baseline: undefined })
  const forget = recall()
  const whole =
    lost.length === 0 ? rest : rest.propose(ids, () => asPlacedAnew(problem, plan, lost), { wishesStay: true }).next
  forget(whole.plan)
  return whole.heldAs(verifyPlan({ ...problem, baseline: plan }, { ...whole.plan, moved }))
}

/**
 * Notes the decisions of the plan as it was, so that lines that are placed anew may keep those that went with them. Answers how to
 * bring them to mind again; that answers how to forget those that a plan does not have in the end.
 */
function decisionsOfBefore({ baseline, claimed, batches }: State): () => (plan: Plan) => void {
  const [runs, transfers, brews] = [[...baseline.runs], [...baseline.transfers], [...baseline.brews]]
  const beers = [...baseline.brewBeers]
  return () => {
    const gone = brews.filter(([, index]) => !claimed.has(index))
    for (const [key, index] of gone) {
      baseline.brews.set(key, index)
      baseline.brewBeers[index] = element(beers, index)
    }
    for (const [key, id] of runs) if (!baseline.runs.has(key)) baseline.runs.set(key, id)
    for (const [key, id] of transfers) if (!baseline.transfers.has(key)) baseline.transfers.set(key, id)
    return (plan) => {
      const ids = new Set([...plan.transfers, ...plan.fillRuns].map(({ id }) => id))
      for (const [key, id] of runs) if (!ids.has(id)) baseline.runs.delete(key)
      for (const [key, id] of transfers) if (!ids.has(id)) baseline.transfers.delete(key)
      const there = new Set(batches.flat().map(brewName))
      for (const [key, index] of gone) {
        if (!there.has(key)) baseline.brews.delete(key)
        if (!claimed.has(index)) baseline.brewBeers[index] = -1
      }
    }
  }
}
