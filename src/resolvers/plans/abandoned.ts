// Drafts whose server ended before they did: nobody solves them any more, and their rows should say so.
import type { Clock } from '../../clock.ts'
import type { PrismaClient } from '../../database/client.ts'

/** Minutes after which a draft that another server may be solving is given up: far longer than any search may take. */
export const PATIENCE_MINUTES = 60

/**
 * Marks drafts as failed that were asked for more than so many minutes ago and are still being solved. Call it at the start
 * of a server: with 0 where no other server uses the database. Answers how many there were.
 */
export async function giveUpAbandoned(
  { client, clock }: { client: PrismaClient; clock: Clock },
  olderThanMinutes: number,
): Promise<number> {
  const now = clock.now()
  const { count } = await client.plan.updateMany({
    where: { status: 'SOLVING', createdAt: { lte: new Date(now.getTime() - olderThanMinutes * 60_000) } },
    data: {
      status: 'FAILED',
      failure: { message: 'The server ended before the plan was made. Draft it again.' },
      solvedAt: now,
    },
  })
  return count
}
