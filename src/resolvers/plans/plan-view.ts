// A plan with its problem and all that follows from the two: where beer stands when, and how full everything is.
import type { Plan } from '../../planner/documents/index.ts'
import { deriveFacts, type Facts, type Service, serviceOf } from '../../planner/index.ts'
import { loadPlan } from '../../records/load-plan.ts'
import type { Actor } from '../actor.ts'
import { loadProblemOfPlan } from './problem-of-plan.ts'

export interface PlanView {
  plan: Plan
  facts: Facts
  service: Service
}

/**
 * Reads a plan for the records as they are now, on the days of its own horizon; what it names and the records no longer
 * have is left out. Undefined where there is no such plan, or it is not solved.
 */
export async function readPlanView(
  { client, clock, distributorId }: Actor,
  planId: string,
): Promise<PlanView | undefined> {
  return client.$transaction(
    async (tx) => {
      const row = await tx.plan.findUnique({ where: { distributorId_id: { distributorId, id: planId } } })
      if (!row || row.costTotal === null) return undefined
      const { problem } = await loadProblemOfPlan(tx, row, clock.now())
      const plan = await loadPlan(tx, distributorId, planId)
      return { plan, facts: deriveFacts(problem, plan), service: serviceOf(problem, plan) }
    },
    { isolationLevel: 'RepeatableRead' },
  )
}
