// A change that breaks one rule in the base problem's plan, and what such changes are written with.
import type { Breakable } from '../../../../src/planner/checker/check-plan.ts'
import type { Plan, Problem, Reason, RuleNumber } from '../../../../src/planner/documents/index.ts'

export interface Mutation {
  rule: Breakable
  name: string
  /** Breaks the plan, or the problem under it. */
  change(plan: Plan, problem: Problem): void
  /** Rules that break along with it. */
  also?: Breakable[]
}

export const by = <Item extends { id: string }>(list: Item[], id: string): Item => {
  const found = list.find((item) => item.id === id)
  if (!found) throw new Error(`nothing has the id ${id}`)
  return found
}
export const run = (plan: Plan, id: string) => by(plan.fillRuns, id)
export const delivery = (plan: Plan, lineId: string, index = 0) =>
  plan.deliveries.filter(({ orderLineId }) => orderLineId === lineId)[index]!
export const beer = (problem: Problem) => by(problem.beers, 'pale')
export const pack = (problem: Problem, id: string) => by(beer(problem).packs, id)
export const vessel = (problem: Problem, id: string) => by(problem.vessels, id)
export const why: Reason[] = [{ rule: 'V3', code: 'NO_VESSEL_FREE' }]

/** Takes a line's deliveries away and states it as unserved. */
export function unserve(plan: Plan, lineId: string, quantity: number, rule: RuleNumber = 'L1'): void {
  plan.deliveries = plan.deliveries.filter(({ orderLineId }) => orderLineId !== lineId)
  plan.unserved = plan.unserved.filter(({ orderLineId }) => orderLineId !== lineId)
  plan.late = plan.late?.filter(({ orderLineId }) => orderLineId !== lineId)
  plan.unserved.push({
    orderLineId: lineId,
    quantity,
    reasons: [{ rule, code: 'AS_RECORDED', params: { words: 'because' } }],
  })
}
