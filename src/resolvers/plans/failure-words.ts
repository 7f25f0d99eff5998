// What is said where planning failed.
import { JobFailed, type JobFailure } from '../../jobs/job-kind.ts'
import type { Fault } from '../../planner/documents/index.ts'
import { pathInWords } from '../../planner/documents/index.ts'
import { FaultyProblem } from '../../solver/make-plan-on-thread.ts'

/** Most faults of a problem that a failure lists. */
const MOST_FAULTS = 20

/** The failure as a plan's row holds it; `remedy` is what to do, such as "Draft it again". */
export function failureWords({ reason, worthRepeating }: JobFailure, remedy: string): { message: string } {
  return { message: worthRepeating ? `${reason} ${remedy}; if it stays, report the id.` : reason }
}

/** What a search threw, for the job that ran it: no other attempt could plan a problem that has faults. */
export function asJobFailure(error: unknown): unknown {
  return error instanceof FaultyProblem
    ? new JobFailed(`The records are no problem that can be planned: ${faultWords(error.faults)}`)
    : error
}

/** Faults of a problem in words, so many as are read. */
export function faultWords(faults: readonly Fault[]): string {
  const more = faults.length > MOST_FAULTS ? [`and ${faults.length - MOST_FAULTS} more`] : []
  return [...faults.slice(0, MOST_FAULTS).map(({ path, message }) => `${pathInWords(path)}: ${message}`), ...more].join(
    '; ',
  )
}
