// The actor of a use-case that needs the planner: with the plan in force and the jobs at hand.
import type { Jobs } from '../jobs/jobs.ts'
import type { Snapshots } from '../records/snapshots.ts'
import type { DistributorNow } from './access/authenticate.ts'
import type { Actor } from './actor.ts'
import type { CommandExecutor } from './commands/executor.ts'

export interface PlanningActor extends Actor {
  snapshots: Snapshots
  /** The jobs of this process. */
  jobs: Jobs
  /** What runs the commands that write orders and reservations. */
  executor: CommandExecutor
  /** How long a new plan is looked for that keeps what the plan in force cannot promise; 0 seconds: not at all. Absent: `SEARCH_SECONDS`. */
  newPlanEffort?: { seconds: number } | { steps: number; seconds?: undefined }
  /** The distributor as the request found it, for questions that are answered once. Absent: it is read. */
  found?: DistributorNow
  /** Gets faults of ours after a request was answered, with an id by which they can be found. */
  onFault: (error: unknown, id: string) => void
}
