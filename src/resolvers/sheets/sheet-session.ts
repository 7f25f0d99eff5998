// Every sheet begins alike: one snapshot of the records, the site's day, and the head that says of which revision it is.
import { todayIn } from '../../clock.ts'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import type { Issue } from '../../errors.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import { readSheetRecords, type SheetRecords } from '../../records/sheet-records.ts'
import type { SheetHead } from '../../sheets/sheet-head.ts'
import type { Actor } from '../actor.ts'
import type { Reading } from '../read-input.ts'
import { References, type ThingRef } from '../thing-ref.ts'

export interface SheetSession extends SheetRecords {
  tx: TransactionClient
  distributorId: string
  /** The distributor's today: nothing is planned before it. */
  today: LocalDate
}

export type SiteRow = Prisma.SiteGetPayload<object>

/** Runs `make` on the records as one snapshot has them. */
export function withSheetRecords<Sheet>(
  { client, clock, distributorId }: Actor,
  make: (session: SheetSession) => Promise<Sheet>,
): Promise<Sheet> {
  return client.$transaction(
    async (tx) => {
      const { timeZone } = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
      const today = todayIn(clock, timeZone)
      return make({ tx, distributorId, today, ...(await readSheetRecords(tx, distributorId, today)) })
    },
    { isolationLevel: 'RepeatableRead' },
  )
}

/**
 * The site that the input of a sheet names. Throws `InvalidInput` with all that is wrong with the input: `faultOf` says what else
 * is, of what it names at the site.
 */
export async function siteAsked(
  { tx, distributorId }: SheetSession,
  reading: Reading<{ site: ThingRef }>,
  faultOf: (siteId: string) => Issue | undefined = () => undefined,
): Promise<SiteRow> {
  const refs = new References(tx, distributorId)
  refs.take(reading)
  const id = (await refs.subject('Site', reading.given.site, 'site'))?.id ?? ''
  const fault = faultOf(id)
  if (fault) refs.note(fault)
  refs.settle()
  return tx.site.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
}

/** The head of a sheet of a site. `day` absent: the site's today. */
export function headOf(
  { clock }: Actor,
  { revision }: SheetSession,
  { id, name, timeZone }: SiteRow,
  day: LocalDate | undefined,
): SheetHead {
  return {
    ...{ siteId: id, siteName: name, timeZone, revision },
    day: day ?? todayIn(clock, timeZone),
    madeAt: clock.now().toISOString(),
  }
}

/** The first of the days that lies after that of the sheet; undefined where none does. */
export function nextOf(days: readonly LocalDate[], { day }: SheetHead): LocalDate | undefined {
  return days.reduce<LocalDate | undefined>(
    (next, each) => (each > day && each < (next ?? '9') ? each : next),
    undefined,
  )
}
