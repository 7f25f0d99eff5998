// Lines that a plan lost when it was opened, or when it followed what happened, come back into it.
import type { OrderLine } from '../documents/problem.ts'
import { asPlacedAnew } from './carry-forward.ts'
import type { Planned } from './concerned.ts'
import { type DecisionNames, forgetDecisions } from './decision-names.ts'
import type { LivePlan } from './live-plan.ts'

/**
 * The plan `rest` with the lines that the plan before it lost in it again, as well as can be; no wish gives way to them. Its state knows
 * the decisions of the plan before by `names`, so that they may find their own again, and forgets those that did not.
 */
export function withLostAgain(
  rest: LivePlan,
  { problem, plan }: Planned,
  lost: readonly OrderLine[],
  names: DecisionNames,
): LivePlan {
  const ids = new Set(lost.map(({ id }) => id))
  const whole = rest.propose(ids, () => asPlacedAnew(problem, plan, lost), { wishesStay: true }).next
  const kept = whole.plan
  const forgot = whole.changedBy(({ state }, edit) => {
    forgetDecisions(state, edit, names, kept)
    return whole.problem
  })
  return forgot ?? whole
}
