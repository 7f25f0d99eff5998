// Runs one attempt at a job to its end: its result is written, it is given up, or left to another attempt.
import { inTransaction } from '../database/transaction.ts'
import type { OwnAttempt } from './attempt.ts'
import {
  JobFailed,
  type JobFailure,
  type JobKind,
  type JobServices,
  LeaseLost,
  type Outcome,
  ProcessStops,
} from './job-kind.ts'
import { type Claimed, failJob, releaseLease } from './leases.ts'
import type { RunningJob } from './places.ts'

/** A job that runs in this process. */
export interface Running extends RunningJob {
  abort: AbortController
  /** When the attempt is over. Never rejects. */
  ended: Promise<void>
  /** When its lease was last known to be held, in milliseconds of `performance.now()`. */
  heldAt: number
}

/** Why a job is given up that our own faults ended. */
export const OUR_FAULT = 'Something went wrong on our side.'

/** Runs it and answers how it ended. Rejects only where the database does not answer: the lease then runs out by itself. */
export async function runAttempt<Services extends JobServices>(
  kind: JobKind<never, Services>,
  attempt: OwnAttempt,
  claimed: Claimed,
  services: Services,
): Promise<Outcome> {
  const { client, onFault } = services
  try {
    const write = await kind.run(attempt, claimed.payload, services)
    if (attempt.isFinished()) return 'DONE'
    await inTransaction(client, async (tx) => {
      await attempt.finish(tx)
      await write?.(tx)
    })
    return 'DONE'
  } catch (thrown) {
    const error: unknown = attempt.signal.aborted ? attempt.signal.reason : thrown
    if (error instanceof LeaseLost) return 'LEASE_LOST'
    if (error instanceof ProcessStops) {
      await releaseLease(client, claimed, true)
      return 'GIVEN_BACK'
    }
    if (error instanceof JobFailed) return giveUp({ reason: error.message, worthRepeating: false })
    onFault(error, claimed.id)
    if (claimed.attempts >= claimed.mostAttempts) return giveUp({ reason: OUR_FAULT, worthRepeating: true })
    await releaseLease(client, claimed, false)
    return 'LEFT'
  }

  async function giveUp(failure: JobFailure): Promise<Outcome> {
    return inTransaction(client, async (tx): Promise<Outcome> => {
      await failJob(tx, claimed, failure.reason, services.clock.now())
      await kind.failed?.(tx, claimed, failure, services)
      return 'GIVEN_UP'
    }).catch((error: unknown) => {
      if (!(error instanceof LeaseLost)) throw error
      return 'LEASE_LOST'
    })
  }
}
