// Rows of vessels that follow from facts: when each was last emptied and cleaned since, and its spans out of service.
import { dateOf, dayOf } from '../database/calendar-day.ts'
import type { TransactionClient } from '../database/client.ts'
import type { Fact, FactOf } from '../floor/facts/fact.ts'
import { addDays, type LocalDate } from '../planner/documents/index.ts'
import { factsOn } from './fact-rows.ts'

/** A vessel of which no return is known is out until here. */
const FAR = '2999-12-31'

/** Beer has left a vessel on a day. */
export interface Vacated {
  vesselId: string
  on: LocalDate
}

/** Notes that vessels were emptied, where that is later than what is known of them. */
export async function noteVacated(
  tx: TransactionClient,
  distributorId: string,
  vacated: readonly Vacated[],
): Promise<void> {
  for (const { vesselId, on } of vacated)
    await tx.vessel.updateMany({
      where: { distributorId, id: vesselId, OR: [{ emptiedOn: null }, { emptiedOn: { lt: dateOf(on) } }] },
      data: { emptiedOn: dateOf(on), cleanedOn: null },
    })
}

/** Finds anew when vessels were last emptied: facts that said so may count no more. */
export async function findVacatedAnew(
  tx: TransactionClient,
  distributorId: string,
  vesselIds: ReadonlySet<string>,
): Promise<void> {
  for (const vesselId of vesselIds) {
    const left = await tx.fact.findFirst({
      where: {
        ...{ distributorId, replacedById: null, withdraws: false, kind: { in: ['TRANSFERRED', 'MOVED'] } },
        data: { path: ['fromVesselId'], equals: vesselId },
        subjects: { some: { kind: 'VESSEL', subjectId: vesselId } },
      },
      orderBy: { on: 'desc' },
      select: { on: true },
    })
    const emptied = await lastEmptiedIn(tx, distributorId, vesselId)
    const days = [left?.on, emptied].flatMap((day) => day ?? [])
    const emptiedOn = days.length === 0 ? null : new Date(Math.max(...days.map((day) => day.getTime())))
    await tx.vessel.updateMany({ where: { distributorId, id: vesselId }, data: { emptiedOn, cleanedOn: null } })
  }
}

/**
 * Writes when vessels were cleaned since they were last emptied, by the facts that say so: of those just `emptied`, and of those
 * that facts are `about`. Called once the days on which they were
 * emptied are written, which forgets what was said before.
 */
export async function projectCleanings(
  tx: TransactionClient,
  distributorId: string,
  emptied: readonly string[],
  about: ReadonlyMap<string, readonly Fact[]>,
): Promise<void> {
  const others = [...new Set(emptied)].filter((id) => !about.has(id))
  const facts = [
    ...[...about.values()].flat().filter(isCleaning),
    ...(await factsOn(tx, distributorId, { kind: 'VESSEL', ids: others }, ['VESSEL_CLEANED'])),
  ]
  const cleaned = [...new Set(facts.map(({ data }) => data.vesselId))]
  if (cleaned.length === 0) return
  for (const { id, emptiedOn } of await tx.vessel.findMany({ where: { distributorId, id: { in: cleaned } } })) {
    const since = emptiedOn ? dayOf(emptiedOn) : undefined
    const days = facts.filter((fact) => fact.data.vesselId === id && isCleanedSince(fact, since)).map(({ day }) => day)
    const last = days.sort().at(-1)
    await tx.vessel.updateMany({
      where: { distributorId, id },
      data: { cleanedOn: last === undefined ? null : dateOf(last) },
    })
  }
}

function isCleaning(fact: Fact): fact is FactOf<'VESSEL_CLEANED'> {
  return fact.kind === 'VESSEL_CLEANED'
}

/**
 * Whether a cleaning came after the vessel was emptied. On one day it did where the vessel was known to be empty by then: a
 * vessel that is cleaned, filled and emptied again on one day is not clean.
 */
function isCleanedSince({ day, data }: FactOf<'VESSEL_CLEANED'>, emptiedOn: LocalDate | undefined): boolean {
  return emptiedOn === undefined || day > emptiedOn || (day === emptiedOn && data.emptiedOn === emptiedOn)
}

/** The last day on which a batch that facts follow was drawn to the end in a vessel. */
async function lastEmptiedIn(tx: TransactionClient, distributorId: string, vesselId: string): Promise<Date | null> {
  const rows = await tx.batch.findMany({
    where: { distributorId, vesselId, emptiedOn: { not: null } },
    orderBy: { emptiedOn: 'desc' },
    select: { id: true, emptiedOn: true },
  })
  for (const { id, emptiedOn } of rows) {
    const begun = await tx.fact.count({
      where: {
        ...{ distributorId, replacedById: null, withdraws: false },
        kind: { in: ['BATCH_OPENING', 'BREWED', 'PART_TRANSFERRED', 'BLENDED'] },
        subjects: { some: { kind: 'BATCH', subjectId: id } },
      },
    })
    // One whose brew was withdrawn was never there.
    if (begun > 0) return emptiedOn
  }
  return null
}

/**
 * Writes the spans out of service that facts say, each with its fact; those of the set-up stay as they are. Unless some facts
 * were taken back there are none to be removed where no fact says any.
 */
export async function projectOutages(
  tx: TransactionClient,
  distributorId: string,
  facts: ReadonlyMap<string, readonly Fact[]>,
  isTakenBack: boolean,
): Promise<void> {
  for (const [vesselId, about] of facts) {
    if (!isTakenBack && !about.some(({ kind }) => kind === 'VESSEL_OUT')) continue
    const known = await tx.vesselOutage.findMany({ where: { distributorId, vesselId, factId: { not: '' } } })
    const spans = about.flatMap((fact) => outageOf(fact, about))
    if (spans.length === 0 && known.length === 0) continue
    await tx.vesselOutage.deleteMany({ where: { distributorId, vesselId, factId: { not: '' } } })
    await tx.vesselOutage.createMany({
      data: spans.map(({ factId, from, to }) => ({
        ...{ distributorId, vesselId, factId, from: dateOf(from), to: dateOf(to) },
      })),
    })
  }
}

/** The days on which a vessel is out by a fact: to the day before the one on which it is back; none where it is back at once. */
function outageOf(fact: Fact, about: readonly Fact[]): { factId: string; from: LocalDate; to: LocalDate }[] {
  if (fact.kind !== 'VESSEL_OUT') return []
  const back = about
    .filter(({ kind }) => kind === 'VESSEL_BACK')
    .filter(({ day, recorded }) => day > fact.day || (day === fact.day && recorded > fact.recorded))
    .reduce<LocalDate | undefined>((first, { day }) => (first === undefined || day < first ? day : first), undefined)
  const to = back === undefined ? (fact.data.until ?? FAR) : addDays(back, -1)
  return to < fact.day ? [] : [{ factId: fact.id, from: fact.day, to }]
}
