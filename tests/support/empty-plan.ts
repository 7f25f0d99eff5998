// A plan that decides nothing: tests add what they are about.
import { NO_COST, type Plan } from '../../src/planner/documents/index.ts'

export const EMPTY_PLAN: Plan = {
  ...{ brews: [], transfers: [], fillRuns: [], deliveries: [], dumped: [], unserved: [] },
  cost: NO_COST,
}
