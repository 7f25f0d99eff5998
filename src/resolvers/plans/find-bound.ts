// Finds how cheap a plan of the same problem can be at best, and stores it: a job, on a thread of its own, in turn with all other
// work in the background.
import { z } from 'zod'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { jobKind } from '../../jobs/job-kind.ts'
import type { Problem } from '../../planner/documents/index.ts'
import { type Bound, boundOfCost, gapOf, parseProblem, type Unavoidable } from '../../planner/index.ts'
import { boundOnThread } from '../../solver/bound-on-thread.ts'
import { boundKindShape } from '../../solver/progress.ts'
import { mayBeProven } from '../../solver/prove.ts'
import type { PlannerServices } from './planner-services.ts'
import { loadProblemOfPlan } from './problem-of-plan.ts'

/** Seconds for bounds that need the solver, and so about how long the job takes where no bound is proven to be the highest. */
export const BOUND_SECONDS = 30
/** Seconds in which the exact model may prove a small problem's plan. */
const PROOF_SECONDS = 10

const payload = z.strictObject({ planId: z.string(), revision: z.int() })

/** The statuses of plans that a bound is looked for: no one compares what is past, or discarded, with what could be. */
export const BOUNDED = ['DRAFT', 'IN_FORCE'] as const

/** The key of the job for a plan at a revision, one search for all that ask; without the revision, how the keys of the plan begin. */
export const boundKey = (planId: string, revision: number | ''): string => `${planId} ${revision}`

/**
 * Its key is that of the plan and the revision. Where the records have moved on its result is of no use: it ends at once.
 */
export const FIND_BOUND = jobKind<z.infer<typeof payload>, PlannerServices>({
  name: 'FIND_BOUND',
  lane: 'PLANNING',
  payload,
  run: async (attempt, { planId, revision }, services) => {
    const { distributorId, signal } = attempt
    const read = await readBounded(services, distributorId, planId, revision)
    if (!read || !parseProblem(read.problem).ok) return undefined
    const { problem } = read
    const { boundSeconds = mayBeProven(problem) ? PROOF_SECONDS : BOUND_SECONDS } = services
    let explained: Unavoidable | undefined
    const bounds = await boundOnThread(problem, boundSeconds, {
      mayPlan: true,
      signal,
      onUnavoidable: (unavoidable) => {
        explained = unavoidable
      },
    })
    const bound = boundOfCost(read.costTotal, read.known ? [read.known, ...bounds] : bounds)
    if (!bound) return undefined
    const { value, kind } = bound
    const data = { lowerBound: value, boundKind: kind, gap: gapOf(read.costTotal, value), unavoidable: explained }
    await withDistributorLock(services, distributorId, async (locked) => {
      await attempt.finish(locked.tx)
      if (locked.revision !== revision) return
      await locked.tx.plan.update({ where: { distributorId_id: { distributorId, id: planId } }, data })
    })
    return undefined
  },
})

interface Bounded {
  costTotal: number
  /** The bound that it has. */
  known: Bound | undefined
  problem: Problem
}

/** A plan's cost and its problem, as long as the records are at the revision. */
async function readBounded(
  { client, clock }: PlannerServices,
  distributorId: string,
  planId: string,
  revision: number,
): Promise<Bounded | undefined> {
  return client.$transaction(
    async (tx) => {
      const row = await tx.plan.findUnique({ where: { distributorId_id: { distributorId, id: planId } } })
      if (!row || row.costTotal === null || !BOUNDED.some((status) => status === row.status)) return undefined
      const now = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId }, select: { revision: true } })
      if (now.revision !== revision) return undefined
      const { problem } = await loadProblemOfPlan(tx, row, clock.now())
      const { costTotal, lowerBound: value, boundKind: kind } = row
      const known = value === null ? undefined : { value, kind: boundKindShape.parse(kind) }
      return { costTotal, known, problem }
    },
    { isolationLevel: 'RepeatableRead' },
  )
}
