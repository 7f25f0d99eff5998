// What the kinds of job have at hand, beside the job itself.
import type { JobServices } from '../../jobs/job-kind.ts'
import type { planWithBound } from '../../solver/plan-with-bound.ts'

export interface PlannerServices extends JobServices {
  /** How a problem is planned. */
  plan: typeof planWithBound
  /** Seconds for the bound of a plan that is asked for. Absent: as long as it pays. */
  boundSeconds?: number
}
