// How much one distributor may have the planner work on at once.
import type { TransactionClient } from '../../database/client.ts'
import { Conflict } from '../../errors.ts'

/** Most drafts and comparisons of a distributor that are being solved or wait for it. */
export const MOST_UNFINISHED = 20

/** The refusal of one more; undefined where there is room. */
export async function tooMany(tx: TransactionClient, distributorId: string): Promise<Conflict | undefined> {
  const where = { distributorId, status: 'SOLVING' } as const
  const unfinished = (await tx.plan.count({ where })) + (await tx.comparison.count({ where }))
  return unfinished < MOST_UNFINISHED
    ? undefined
    : new Conflict('TOO_MANY_UNFINISHED', `${unfinished} drafts and comparisons are still being solved.`)
}
