// How much one distributor may have the planner work on at once.
import type { TransactionClient } from '../../database/client.ts'
import { Conflict } from '../../errors.ts'

/** Most drafts and comparisons of a distributor that are being solved or wait for it. */
export const MOST_UNFINISHED = 20

/** Throws `Conflict` where there are as many already. */
export async function refuseTooMany(tx: TransactionClient, distributorId: string): Promise<void> {
  const where = { distributorId, status: 'SOLVING' } as const
  const unfinished = (await tx.plan.count({ where })) + (await tx.comparison.count({ where }))
  if (unfinished >= MOST_UNFINISHED)
    throw new Conflict('TOO_MANY_UNFINISHED', `${unfinished} drafts and comparisons are still being solved.`)
}
