// What batches in fermenters need on a day: gravities, dry hops, the crash.
import type { Prisma } from '../../database/client.ts'
import { dayNumber, instantAt, localDateOf, wallClock } from '../../planner/documents/index.ts'
import { factsAbout } from '../../records/fact-rows.ts'
import { dueInCellar } from '../../sheets/cellar-work.ts'
import type { DueWork } from '../../sheets/today.ts'
import type { SheetSession } from './sheet-session.ts'

/** What is due at the batches that stand in fermenters of a site, up to the end of a day. */
export async function cellarWork(
  { tx, distributorId }: SheetSession,
  { id: siteId, timeZone }: Prisma.SiteGetPayload<object>,
  day: string,
): Promise<DueWork[]> {
  const endOfDay = new Date(instantAt(dayNumber(day) + 1, 0, timeZone))
  const batches = await tx.batch.findMany({
    where: { distributorId, siteId, vesselKind: 'FERMENTER', emptiedOn: null, readyAt: { gt: endOfDay } },
    include: { beer: true },
    orderBy: { code: 'asc' },
  })
  const facts = await factsAbout(
    tx,
    distributorId,
    'BATCH',
    batches.map(({ id }) => id),
  )
  return batches.flatMap((row) => {
    const said = new Set((facts.get(row.id) ?? []).map(({ kind }) => kind))
    const due = dueInCellar(
      {
        ...row.beer,
        readyAt: row.readyAt.toISOString(),
        ...{
          isProven: row.fermentationProven,
          isDryHopped: said.has('DRY_HOPPED'),
          isCrashed: said.has('CRASH_BEGUN'),
        },
      },
      endOfDay,
    )
    const isRead = (facts.get(row.id) ?? []).some((fact) => fact.kind === 'READING' && fact.day === day)
    return due
      .filter(({ kind }) => kind !== 'READING' || !isRead)
      .map(({ kind, at }): DueWork => {
        const on = localDateOf(wallClock(at.toISOString(), timeZone).day)
        const work = { kind, batchId: row.id, beerId: row.beerId, vesselId: row.vesselId }
        return on < day && kind !== 'READING' ? { ...work, since: on } : work
      })
  })
}
