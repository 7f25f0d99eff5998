// What comes into a plan that is kept open: `decide` names it once it has seen what can be had in the plan as it stands.
import type { Plan, Problem } from '../documents/problem.ts'
import type { LineModel } from '../model/model.ts'
import { type GivenWay, whileLifted, withFewestLifted, withWishesLifted } from './give-way.ts'
import { type Coming, placedOf, promisedAsServed, tryOut } from './line-steps.ts'
import type { PlanEdit } from './plan-edit.ts'
import { type Trial, trialIn } from './trial.ts'
import { asPromised, type TrialResult } from './trial-result.ts'

/** What comes, how it is served, and the wishes that must be lifted for that. */
export function decided(
  edit: PlanEdit,
  open: { readonly plan: Plan; readonly problem: Problem },
  decide: (trial: Trial) => readonly Coming[],
  wishesStay: boolean,
): { coming: readonly Coming[]; wishes: readonly LineModel[]; result: TrialResult } {
  const { state } = edit
  let tried: GivenWay<TrialResult> | undefined
  const trial = trialIn({ state, moved: [], plan: () => open.plan, based: () => open.problem })
  const coming = decide({
    ...trial,
    promise: (lines, how) => {
      if (!how?.unexplained) return trial.promise(lines, how)
      const attempt = () => tryOut(state, edit, lines, () => [])
      tried = withWishesLifted(state, lines, attempt(), attempt)
      return tried.result.answers
    },
  })
  const result = tried && asPromised(tried.result, placedOf(coming))
  if (tried && result && tried.wishes.length === 0) return { coming, wishes: [], result }
  const lines = placedOf(coming)
  const explained = () => tryOut(state, edit, lines)
  if (wishesStay || lines.every(({ promisedOn }) => promisedOn === undefined))
    return { coming, wishes: [], result: explained() }
  // By the promised days fewer wishes may have to give way than for the first days that there are.
  const attempt = () => tryOut(state, edit, lines, () => [])
  const dated = withFewestLifted(state, lines, attempt(), attempt)
  const { answers } = dated.result
  if (tried && result && !answers.every(({ served, quantity }) => served === quantity))
    return { coming, wishes: tried.wishes, result }
  const promised = promisedAsServed(coming, answers)
  if (answers.every(({ onTime }) => onTime)) return { coming: promised, ...dated }
  return { coming: promised, wishes: dated.wishes, result: whileLifted(state, dated.wishes, explained) }
}
