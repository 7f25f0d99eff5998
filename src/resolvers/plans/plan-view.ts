// A plan with its problem and all that follows from the two: where beer stands when, and how full everything is.
import { dayOf } from '../../database/calendar-day.ts'
import { costsShape, type Plan } from '../../planner/documents/index.ts'
import { deriveFacts, type Facts, type Service, serviceOf } from '../../planner/index.ts'
import { loadPlan } from '../../records/load-plan.ts'
import { loadProblem } from '../../records/load-problem.ts'
import type { Actor } from '../actor.ts'

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
      const { problem } = await loadProblem(tx, distributorId, {
        today: dayOf(row.today),
        at: clock.now(),
        horizonDays: row.horizonDays,
        frozenDays: row.frozenDays,
        costs: costsShape.parse(row.costs),
      })
      const plan = await loadPlan(tx, distributorId, planId)
      return { plan, facts: deriveFacts(problem, plan), service: serviceOf(problem, plan) }
    },
    { isolationLevel: 'RepeatableRead' },
  )
}
