// The jobs of a process in tests: a short search runs here and now. Two threads for each, one of them a solver's for a bound
// that no test reads, would take most of the time of a test.
import type { JobServices } from '../../src/jobs/job-kind.ts'
import { jobsOf } from '../../src/jobs/kinds.ts'
import { planHere } from '../../tools/serving/plan-here.ts'

/** Seconds for bounds: enough to prove a tiny problem's plan, little enough for tests that read the bound of a large one. */
const BOUND_SECONDS = 4

/**
 * Jobs as a server has them; a search of up to 100 steps runs on this thread with the bound per line. With `stepsForSeconds` one
 * that would go on for some time makes so many steps: it takes less, and finds the same each time.
 */
export function testJobs(services: JobServices, planningThreads?: number, stepsForSeconds?: number) {
  const plan: typeof planHere = (problem, { seconds, ...effort }, options) => {
    const steps = seconds === undefined ? effort.steps : stepsForSeconds
    return planHere(problem, { ...effort, ...(steps === undefined ? { seconds } : { steps }) }, options)
  }
  return jobsOf({ ...services, plan, boundSeconds: BOUND_SECONDS }, { planningThreads })
}
