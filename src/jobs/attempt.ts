// One attempt at a job, as its handler sees it.
import { inTransaction } from '../database/transaction.ts'
import { type Attempt, type JobServices, LeaseLost } from './job-kind.ts'
import { type Claimed, finishJob, holdLease, isHeld } from './leases.ts'

/** An attempt whose handler may end the job itself. */
export interface OwnAttempt extends Attempt {
  /** Whether the handler has ended it. */
  isFinished(): boolean
}

/** The attempt at a claimed job; `abort` is aborted where it finds that its lease is lost. */
export function attemptAt(claimed: Claimed, { client, clock }: JobServices, abort: AbortController): OwnAttempt {
  const { distributorId, key, id: jobId, attempts: number } = claimed
  let finished = false
  return {
    ...{ distributorId, key, jobId, number, signal: abort.signal },
    stillMine: () => isHeld(client, claimed),
    note: async (write) => {
      try {
        await inTransaction(client, async (tx) => {
          await holdLease(tx, claimed)
          await write(tx)
        })
      } catch (error) {
        if (!(error instanceof LeaseLost)) throw error
        abort.abort(error)
      }
    },
    finish: async (tx) => {
      await finishJob(tx, claimed, clock.now())
      finished = true
    },
    isFinished: () => finished,
  }
}
