// When a key was last used, to the minute: of the requests of one minute the first alone writes it.
import type { PrismaClient } from '../../database/client.ts'
import type { Caller } from './authenticate.ts'

const MINUTE = 60_000

/** The minute of an instant. */
function minuteOf(instant: Date): Date {
  return new Date(Math.floor(instant.getTime() / MINUTE) * MINUTE)
}

/** Whether the records do not say yet that the key was used in this minute. */
export function isUseNew({ lastUsedAt }: Caller, now: Date): boolean {
  return lastUsedAt === null || lastUsedAt < minuteOf(now)
}

/** Writes that the key was used in this minute. The revision stays: nothing depends on it. */
export async function noteUse(client: PrismaClient, { distributorId, keyId: id }: Caller, now: Date): Promise<void> {
  const minute = minuteOf(now)
  // Of several servers the first one writes.
  await client.apiKey.updateMany({
    where: { distributorId, id, OR: [{ lastUsedAt: null }, { lastUsedAt: { lt: minute } }] },
    data: { lastUsedAt: minute },
  })
}
