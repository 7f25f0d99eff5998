// Finds how cheap a plan of the same problem can be at best, and stores it: a job, on a thread of its own, in turn with all other
// work in the background.
import { z } from 'zod'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { jobKind } from '../../jobs/job-kind.ts'
import type { Problem } from '../../planner/documents/index.ts'
import { boundOfCost, gapOf, parseProblem } from '../../planner/index.ts'
import { boundOnThread } from '../../solver/bound-on-thread.ts'
import { mayBeProven } from '../../solver/prove.ts'
import type { PlannerServices } from './planner-services.ts'
import { loadProblemOfPlan } from './problem-of-plan.ts'

/** About how long the instant bound takes of the largest problems, in seconds. */
export const BOUND_SECONDS = 1
/** Seconds in which the exact model may prove a small problem's plan. */
const PROOF_SECONDS = 10

const payload = z.strictObject({ planId: z.string(), revision: z.int() })

/** The statuses of plans that a bound is looked for: no one compares what is past, or discarded, with what could be. */
export const BOUNDED = ['DRAFT', 'IN_FORCE'] as const

/** The key of the job for a plan at a revision, one search for all that ask; without the revision, how the keys of the plan begin. */
export const boundKey = (planId: string, revision: number | ''): string => `${planId} ${revision}`

/** Its key is that of the plan and the revision. Where the records have moved on its result is of no use: it ends at once. */
export const FIND_BOUND = jobKind<z.infer<typeof payload>, PlannerServices>({
  name: 'FIND_BOUND',
  lane: 'PLANNING',
  payload,
  run: async (attempt, { planId, revision }, services) => {
    const { distributorId, signal } = attempt
    const read = await readBounded(services, distributorId, planId, revision)
    if (!read || !parseProblem(read.problem).ok) return undefined
    const bounds = await boundOnThread(read.problem, mayBeProven(read.problem) ? PROOF_SECONDS : 0, {
      exact: true,
      signal,
    })
    const bound = boundOfCost(read.costTotal, bounds)
    if (!bound) return undefined
    const { value, kind } = bound
    const data = { lowerBound: value, boundKind: kind, gap: gapOf(read.costTotal, value) }
    await withDistributorLock(services, distributorId, async (locked) => {
      await attempt.finish(locked.tx)
      if (locked.revision !== revision) return
      await locked.tx.plan.update({ where: { distributorId_id: { distributorId, id: planId } }, data })
    })
    return undefined
  },
})

/** A plan's cost and its problem, as long as the records are at the revision. */
async function readBounded(
  { client, clock }: PlannerServices,
  distributorId: string,
  planId: string,
  revision: number,
): Promise<{ costTotal: number; problem: Problem } | undefined> {
  return client.$transaction(
    async (tx) => {
      const row = await tx.plan.findUnique({ where: { distributorId_id: { distributorId, id: planId } } })
      if (!row || row.costTotal === null || !BOUNDED.some((status) => status === row.status)) return undefined
      const now = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId }, select: { revision: true } })
      if (now.revision !== revision) return undefined
      const { problem } = await loadProblemOfPlan(tx, row, clock.now())
      return { costTotal: row.costTotal, problem }
    },
    { isolationLevel: 'RepeatableRead' },
  )
}
