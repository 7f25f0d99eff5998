// A plan, opened from its document: the state in which reliefs are sought is the one in which a caller verifies them.
import type { Plan, Problem } from '../documents/problem.ts'
import { byBirth } from '../model/batch.ts'
import { compile } from '../model/compile.ts'
import type { Model } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { Moved } from './fixed.ts'
import { loadBaseline } from './load-baseline.ts'
import { openState } from './standing.ts'

/**
 * The plan as the plan in force: its placements as they are, each as far as it holds; what was filled for others is filled no more.
 * `like` is a model of the same problem, where there is one (compile.ts).
 */
export function reopen(problem: Problem, plan: Plan, like?: Model): { based: Problem; state: State; moved: Moved[] } {
  const based: Problem = { ...problem, baseline: plan }
  const state = openState(compile(based, like))
  const { moved } = loadBaseline(state, plan, { forgone: true })
  for (const list of state.batches) list.sort(byBirth)
  return { based, state, moved }
}

/** As `reopen`, with the frozen days that the plan was made under. */
export function reopenAsMade(problem: Problem, plan: Plan, like?: Model): State {
  return reopen(withFrozenDaysAsMade(problem), plan, like).state
}

/** A problem that a plan was made of, for opening that plan as its baseline: no day was frozen where it had none (F1). */
export function withFrozenDaysAsMade(problem: Problem): Problem {
  return { ...problem, frozenDays: problem.baseline ? problem.frozenDays : 0 }
}
