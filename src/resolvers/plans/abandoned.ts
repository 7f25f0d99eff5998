// Drafts and comparisons whose server ended before they did: no server solves them, and their rows should say so.
import type { Clock } from '../../clock.ts'
import type { PrismaClient } from '../../database/client.ts'

/** Minutes after which one that another server may be solving is given up: far longer than any search may take. */
export const PATIENCE_MINUTES = 60

/**
 * Marks drafts and comparisons as failed that were asked for more than so many minutes ago and are still being solved. Call
 * it at the start of a server: with 0 where no other server uses the database. Answers how many there were.
 */
export async function giveUpAbandoned(
  { client, clock }: { client: PrismaClient; clock: Clock },
  olderThanMinutes: number,
): Promise<number> {
  const now = clock.now()
  const where = { status: 'SOLVING', createdAt: { lte: new Date(now.getTime() - olderThanMinutes * 60_000) } } as const
  const failed = (remedy: string) => ({
    status: 'FAILED' as const,
    failure: { message: `The server ended before it was done. ${remedy}` },
    solvedAt: now,
  })
  const drafts = await client.plan.updateMany({ where, data: failed('Draft it again.') })
  const comparisons = await client.comparison.updateMany({ where, data: failed('Compare again.') })
  return drafts.count + comparisons.count
}
