// What every write answers.
import type { Plan } from '../planner/documents/index.ts'

/** The row's id, and the revision that the records have since. */
export interface Written {
  id: string
  revision: number
  /** Of a change of the records that the plan in force follows: what its repair did. Absent: no plan is in force, or it has nothing to follow. */
  repaired?: PlanRepair
}

/** What a write did: `UNCHANGED` where the thing was just so already, and nothing was written. */
export type Did = 'CREATED' | 'UPDATED' | 'UNCHANGED'

/** What a repair did to the plan in force. */
export interface PlanRepair {
  before: Plan
  /** The plan without what was carried out of it: what a repair is compared with. */
  carried: Plan
  after: Plan
}
