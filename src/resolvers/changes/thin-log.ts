// The change log is thinned out each night: of changes that are older than they are kept, only the last one of each thing stays.
// Who changed a thing last, and when, is known for ever; followers of the feed must have read on by then.
import { z } from 'zod'
import { daysAgo } from '../../clock.ts'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { type JobServices, jobKind } from '../../jobs/job-kind.ts'

/** Days for which changes are kept where nothing else is set. */
export const CHANGE_DAYS = 400

/** Days for which it is kept what webhooks have taken; what was given up stays as long as changes. */
const TAKEN_DAYS = 14

export interface LogServices extends JobServices {
  /** Days for which changes are kept. Absent: `CHANGE_DAYS`. */
  changeDays?: number
}

/** Done each night. */
export const THIN_LOG = jobKind<object, LogServices>({
  name: 'THIN_LOG',
  lane: 'QUICK',
  payload: z.strictObject({}),
  daily: '03:10',
  run: async ({ distributorId }, _, services) => {
    await thinLog(services, distributorId)
    const { clock, changeDays = CHANGE_DAYS } = services
    return async (tx) => {
      const old = { distributorId, endedAt: { lt: daysAgo(clock, Math.min(changeDays, TAKEN_DAYS)) } }
      await tx.webhookDelivery.deleteMany({ where: { ...old, state: 'DELIVERED' } })
      await tx.webhookDelivery.deleteMany({ where: { ...old, endedAt: { lt: daysAgo(clock, changeDays) } } })
    }
  },
})

/** Deletes the entries that are older than they are kept and are not the last of their thing; the newest revision stays whole. */
export async function thinLog(services: LogServices, distributorId: string): Promise<void> {
  const { clock, changeDays = CHANGE_DAYS } = services
  const old = daysAgo(clock, changeDays)
  await withDistributorLock(services, distributorId, async ({ tx, revision }) => {
    const last = await tx.changeLogEntry.findFirst({
      where: { distributorId, at: { lt: old }, revision: { lt: revision } },
      orderBy: { revision: 'desc' },
      select: { revision: true },
    })
    if (!last) return
    await tx.$executeRaw`
      DELETE FROM "ChangeLogEntry" "old" WHERE "distributorId" = ${distributorId} AND "revision" <= ${last.revision}::int
        AND EXISTS (SELECT 1 FROM "ChangeLogEntry" "newer"
          WHERE "newer"."distributorId" = "old"."distributorId" AND "newer"."entityId" = "old"."entityId"
            AND ("newer"."revision", "newer"."n") > ("old"."revision", "old"."n"))`
    await tx.distributor.update({ where: { id: distributorId }, data: { changesFrom: last.revision } })
  })
}
