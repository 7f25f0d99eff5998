// Scenarios learn from each other: a plan that was made for one may be valid for another, and cheaper there. So more of a
// resource never looks dearer, nor less of it cheaper, because a search was lucky.

import type { Plan, Problem } from '../planner/documents/index.ts'
import type { Bound } from '../planner/index.ts'
import { runOnThread } from './on-thread.ts'

/** A problem with the plan that was made for it. */
export interface Planned {
  problem: Problem
  plan: Plan
  bound?: Bound
}

/** What the sharing thread is given. */
export interface ShareTask {
  planned: { problem: Problem; plan: Plan }[]
}

/** What the sharing thread says: a plan for each problem. */
export interface ShareMessage {
  plans: Plan[]
}

/** For each problem the cheapest of all plans that the checker passes for it, at its cost there; of equals its own. */
export async function sharePlans(planned: readonly Planned[], signal?: AbortSignal): Promise<Plan[]> {
  if (planned.length < 2) return planned.map(({ plan }) => plan)
  const task: ShareTask = { planned: planned.map(({ problem, plan }) => ({ problem, plan })) }
  return runOnThread('./share-thread.ts', task, ({ plans }: ShareMessage) => plans, signal)
}
