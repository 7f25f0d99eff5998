// Who does something that the planner is asked for: an actor with the plan in force and the drafts at hand.
import type { Snapshots } from '../records/snapshots.ts'
import type { Actor } from './actor.ts'
import type { Drafts } from './plans/drafts.ts'

export interface PlanningActor extends Actor {
  snapshots: Snapshots
  drafts: Drafts
  /** Hears of faults of ours after a request was answered, with an id by which they can be found. */
  onFault: (error: unknown, id: string) => void
}
