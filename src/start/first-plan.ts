// The first plan of a distributor that has none in force: made on a thread of its own, then written as the plan in force.
import { randomUUID } from 'node:crypto'
import { type Clock, todayIn } from '../clock.ts'
import { dateOf } from '../database/calendar-day.ts'
import type { PrismaClient } from '../database/client.ts'
import { withDistributorLock } from '../database/distributor-lock.ts'
import { isSameVersion } from '../database/version.ts'
import { DEFAULT_COSTS } from '../planner/documents/index.ts'
import { loadProblem } from '../records/load-problem.ts'
import { saveSolved } from '../records/save-plan.ts'
import { planWithBound } from '../solver/plan-with-bound.ts'
import type { PlanProgress } from '../solver/progress.ts'

/** The seed of first plans: any will do, and the same records give the same plan. */
const SEED = 1

export interface FirstPlanServices {
  client: PrismaClient
  clock: Clock
  /** Gets faults of ours that did not keep the plan from being made. */
  onFault: (error: unknown, id: string) => void
}

/**
 * Makes a plan with the planner's default effort and puts it in force, unless one came into force meanwhile or the
 * records moved on (then the next draft is the first plan). Answers whether it is in force.
 */
export async function makeFirstPlan(
  { client, clock, onFault }: FirstPlanServices,
  distributorId: string,
  onProgress: (progress: PlanProgress) => void,
): Promise<boolean> {
  const { timeZone } = await client.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  const { problem, ...read } = await client.$transaction(
    (tx) => loadProblem(tx, distributorId, { today: todayIn(clock, timeZone), at: clock.now() }),
    { isolationLevel: 'RepeatableRead' },
  )
  const createdAt = clock.now()
  const solved = await planWithBound(problem, { seed: SEED }, { onProgress })
  if (solved.boundFault !== undefined) onFault(solved.boundFault, distributorId)

  const { result } = await withDistributorLock({ client, clock }, distributorId, async (locked) => {
    const { tx, log } = locked
    const inForce = await tx.plan.findFirst({ where: { distributorId, status: 'IN_FORCE' }, select: { id: true } })
    if (inForce || !isSameVersion(locked, read)) return false
    const id = randomUUID()
    const now = clock.now()
    await tx.plan.create({
      data: {
        distributorId,
        id,
        status: 'SOLVING',
        fromRevision: read.revision,
        today: dateOf(problem.today),
        horizonDays: problem.horizonDays,
        frozenDays: problem.frozenDays,
        costs: { ...DEFAULT_COSTS, ...problem.costs },
        seed: SEED,
        createdAt,
      },
    })
    await saveSolved(tx, distributorId, id, solved)
    await tx.plan.update({
      where: { distributorId_id: { distributorId, id } },
      data: { status: 'IN_FORCE', solvedAt: now, adoptedAt: now },
    })
    log('PLAN_ADOPTED', { type: 'Plan', id }, undefined, { id, status: 'IN_FORCE', costTotal: solved.plan.cost.total })
    return true
  })
  return result
}
