// The records and the plan in force as the planner's documents, both of one revision: what `npm run check` judges.
import { todayIn } from '../../clock.ts'
import type { Plan, Problem } from '../../planner/documents/index.ts'
import { planCost } from '../../planner/index.ts'
import { loadProblem } from '../../records/load-problem.ts'
import type { Actor } from '../actor.ts'

export interface PlanDocuments {
  /** The revision of the records that both are of. */
  revision: number
  problem: Problem
  /** Absent: no plan is in force. */
  plan?: Plan
}

/**
 * Reads both. Reservations that have run out are in them until they are swept out, as they are in the plan that the API shows.
 * The plan in force is the problem's baseline too, so that nothing of it counts as moved; the cost that it states is that.
 */
export function readPlanDocuments({ client, clock, distributorId }: Actor): Promise<PlanDocuments> {
  return client.$transaction(
    async (tx) => {
      const { timeZone } = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
      const today = todayIn(clock, timeZone)
      const { problem, revision } = await loadProblem(tx, distributorId, { today, at: 'BEFORE_SWEEP' })
      const { baseline } = problem
      if (!baseline) return { revision, problem }
      const plan = { ...baseline, cost: planCost(problem, baseline) }
      return { revision, problem: { ...problem, baseline: plan }, plan }
    },
    { isolationLevel: 'RepeatableRead' },
  )
}
