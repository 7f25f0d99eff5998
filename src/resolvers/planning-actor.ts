// Who does something that the planner is asked for: an actor with the plan in force at hand.
import type { Snapshots } from '../records/snapshots.ts'
import type { Actor } from './actor.ts'

export interface PlanningActor extends Actor {
  snapshots: Snapshots
}
