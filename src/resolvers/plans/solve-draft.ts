// Solves a draft whose row is there and has the status `SOLVING`: a job, on a thread of its own, with notes of its progress.
import { z } from 'zod'
import { dateOf } from '../../database/calendar-day.ts'
import { type JobSubject, jobKind, LeaseLost } from '../../jobs/job-kind.ts'
import { saveSolved } from '../../records/save-plan.ts'
import type { PlanProgress } from '../../solver/progress.ts'
import { asJobFailure, failureWords } from './failure-words.ts'
import type { PlannerServices } from './planner-services.ts'
import { ProgressNotes } from './progress-notes.ts'
import { storedEffort, storedProblem } from './stored-problem.ts'

const payload = z.strictObject({ problem: storedProblem, effort: storedEffort })

/** Its key is the id of the plan, whose row becomes a `DRAFT`, or `FAILED` and says why. */
export const SOLVE_DRAFT = jobKind<z.infer<typeof payload>, PlannerServices>({
  name: 'SOLVE_DRAFT',
  lane: 'PLANNING',
  payload,
  run: async (attempt, { problem, effort }, { clock, plan, onFault }) => {
    const { distributorId, key: planId, signal } = attempt
    const notes = new ProgressNotes<PlanProgress>(
      (progress) => attempt.note((tx) => tx.plan.updateMany({ where: solving(attempt), data: { progress } })),
      (error) => onFault(error, planId),
    )
    const solved = await plan(problem, effort, { signal, onProgress: (progress) => notes.take(progress) })
      .catch((error: unknown) => {
        throw asJobFailure(error)
      })
      .finally(() => notes.done())
    if (solved.boundFault !== undefined) onFault(solved.boundFault, planId)
    return async (tx) => {
      await saveSolved(tx, distributorId, planId, solved)
      const data = { status: 'DRAFT', today: dateOf(problem.today), solvedAt: clock.now() } as const
      const { count } = await tx.plan.updateMany({ where: solving(attempt), data })
      if (count === 0) throw new LeaseLost()
    }
  },
  failed: async (tx, subject, failure, { clock }) => {
    const data = { status: 'FAILED', failure: failureWords(failure, 'Draft it again'), solvedAt: clock.now() } as const
    await tx.plan.updateMany({ where: solving(subject), data })
  },
})

/** The row of the draft, unless it was discarded meanwhile. */
function solving({ distributorId, key }: JobSubject) {
  return { distributorId, id: key, status: 'SOLVING' } as const
}
