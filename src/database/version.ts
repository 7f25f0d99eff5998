// Which records something was read from. A revision alone does not say it: where a database was restored, or failed over, without
// its last commits, their numbers are given again. So each commit writes a random epoch beside its number.
import type { TransactionClient } from './client.ts'

/** What a distributor's records were when they were read. */
export interface Version {
  revision: number
  /** Random, of the commit that made the revision. */
  epoch: string
}

/** Whether both are of the same commit. */
export function isSameVersion(one: Version, other: Version): boolean {
  return one.revision === other.revision && one.epoch === other.epoch
}

/**
 * Whether the records still have the commit of `version`, and with it all before it, as their latest or followed by others. The first
 * revision of all, 0, was made by no commit that could be lost.
 */
export async function stillHas(
  tx: TransactionClient,
  distributorId: string,
  { revision, epoch }: Version,
): Promise<boolean> {
  if (revision === 0) return true
  const found = await tx.$queryRaw<object[]>`
    SELECT 1 FROM "Distributor" WHERE "id" = ${distributorId} AND "revision" = ${revision}::int AND "epoch" = ${epoch}::uuid
    UNION ALL
    (SELECT 1 FROM "ChangeLogEntry"
      WHERE "distributorId" = ${distributorId} AND "revision" = ${revision}::int AND "epoch" = ${epoch}::uuid LIMIT 1)`
  return found.length > 0
}
