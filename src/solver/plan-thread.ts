// What runs on the planning thread: one problem in, progress and one plan out.
import { parseProblem } from '../planner/index.ts'
import type { PlanTask, PlanThreadMessage } from './make-plan-on-thread.ts'
import { searchHere } from './search-here.ts'

/** Makes the plan. */
export function run({ problem, ...effort }: PlanTask, say: (message: PlanThreadMessage) => void): void {
  const parsed = parseProblem(problem)
  if (parsed.ok) {
    const searched = searchHere(parsed.problem, effort, (progress) => say({ kind: 'PROGRESS', progress }))
    say({ kind: 'PLAN', searched })
  } else say({ kind: 'FAULTS', faults: parsed.faults })
}
