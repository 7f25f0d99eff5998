// Runs one attempt at a job to its end: its result is written, it is given up, or left to another attempt.
import { inTransaction } from '../database/transaction.ts'
import type { OwnAttempt } from './attempt.ts'
import { JobFailed, type JobFailure, type JobKind, type JobServices, LeaseLost, ProcessStops } from './job-kind.ts'
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

/** Runs it. Rejects only where the database does not answer: the lease then runs out by itself. */
export async function runAttempt<Services extends JobServices>(
  kind: JobKind<never, Services>,
  attempt: OwnAttempt,
  claimed: Claimed,
  services: Services,
): Promise<void> {
  const { client, onFault } = services
  try {
    const write = await kind.run(attempt, claimed.payload, services)
    if (attempt.isFinished()) return
    await inTransaction(client, async (tx) => {
      await attempt.finish(tx)
      await write?.(tx)
    })
  } catch (thrown) {
    const error: unknown = attempt.signal.aborted ? attempt.signal.reason : thrown
    if (error instanceof LeaseLost) return
    if (error instanceof ProcessStops) return releaseLease(client, claimed, true)
    if (error instanceof JobFailed) return giveUp({ reason: error.message, worthRepeating: false })
    onFault(error, claimed.id)
    if (claimed.attempts < claimed.mostAttempts) return releaseLease(client, claimed, false)
    return giveUp({ reason: OUR_FAULT, worthRepeating: true })
  }

  function giveUp(failure: JobFailure): Promise<void> {
    return inTransaction(client, async (tx) => {
      await failJob(tx, claimed, failure.reason, services.clock.now())
      await kind.failed?.(tx, claimed, failure, services)
    }).catch((error: unknown) => {
      if (!(error instanceof LeaseLost)) throw error
    })
  }
}
