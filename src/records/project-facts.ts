// Rows that follow from facts and the ledger: batches, lots, containers, order lines. They are written after the facts, from
// the facts, so that replaying those gives the same rows.

import { runBatchedStatement } from '../database/batched-statement.ts'
import { dateOf, dayOf } from '../database/calendar-day.ts'
import { Prisma, type TransactionClient } from '../database/client.ts'
import { type BatchStart, batchState, type Readiness } from '../floor/facts/batch-history.ts'
import type { Fact } from '../floor/facts/fact.ts'
import { lineState } from '../floor/facts/line-history.ts'
import { isLotQuarantined } from '../floor/facts/lot-history.ts'
import { postingsOf } from '../floor/facts/postings.ts'
import { keyOf, kindOf, type Place, vesselPlace } from '../floor/ledger/place.ts'
import { instantOf, type LocalDate } from '../planner/documents/index.ts'
import { factsAboutAll, type Subject } from './fact-rows.ts'
import { balancesAt } from './ledger.ts'
import { findVacatedAnew, noteVacated, projectCleanings, projectOutages, type Vacated } from './project-vessels.ts'

/**
 * Writes the rows of things that facts are about, and of places whose balance changed; `isTakenBack` where some of the facts count no
 * more. The caller holds the lock.
 */
export async function projectFacts(
  tx: TransactionClient,
  distributorId: string,
  subjects: readonly Subject[],
  balances: ReadonlyMap<Place, number>,
  isTakenBack: boolean,
): Promise<void> {
  const idsOf = (kind: Subject['kind']) => [
    ...new Set(subjects.filter((each) => each.kind === kind).map(({ id }) => id)),
  ]
  const kinds = ['BATCH', 'LOT', 'ORDER_LINE', 'VESSEL'] as const
  const facts = await factsAboutAll(
    ...([tx, distributorId] as const),
    kinds.map((kind) => ({ kind, ids: idsOf(kind) })),
  )
  const about = (kind: Subject['kind']) => facts.get(kind) ?? new Map<string, Fact[]>()
  const { vacated, vesselIds } = await projectBatches(tx, distributorId, about('BATCH'))
  if (isTakenBack) await findVacatedAnew(tx, distributorId, new Set([...vesselIds, ...idsOf('VESSEL')]))
  else await noteVacated(tx, distributorId, vacated)
  const emptied = isTakenBack ? vesselIds : vacated.map(({ vesselId }) => vesselId)
  await projectCleanings(tx, distributorId, emptied, about('VESSEL'))
  await projectLots(tx, distributorId, about('LOT'))
  await projectLines(tx, distributorId, about('ORDER_LINE'))
  await projectOutages(tx, distributorId, about('VESSEL'), isTakenBack)
  await runBatchedStatement(
    tx,
    [...balances].flatMap(([place, amount]) => balanceOf(distributorId, place, amount)),
  )
}

/** The write that lets the row of a place say what it holds; a place is of one thing. */
function balanceOf(distributorId: string, place: Place, amount: number): Prisma.Sql[] {
  const [first = '', second = ''] = keyOf(place)
  const own = Prisma.sql`WHERE "distributorId" = ${distributorId}`
  switch (kindOf(place)) {
    case 'VESSEL':
      return [Prisma.sql`UPDATE "Batch" SET "litres" = ${amount / 1000}::float8 ${own} AND "id" = ${first}`]
    case 'FILLED':
      return [Prisma.sql`UPDATE "StockLot" SET "quantity" = ${amount}::int ${own} AND "id" = ${first}`]
    case 'CLEAN':
      return [
        Prisma.sql`UPDATE "Fleet" SET "cleanNow" = ${amount}::int ${own} AND "siteId" = ${first} AND "containerTypeId" = ${second}`,
      ]
    default:
      return []
  }
}

/** What the facts of some batches say of vessels. */
interface OfVessels {
  /** Vessels that they have left. */
  vacated: Vacated[]
  /** Vessels that they are in, were in, or were taken to be in. */
  vesselIds: string[]
}

async function projectBatches(
  tx: TransactionClient,
  distributorId: string,
  facts: ReadonlyMap<string, Fact[]>,
): Promise<OfVessels> {
  const found: OfVessels = { vacated: [], vesselIds: [] }
  if (facts.size === 0) return found
  const ids = [...facts.keys()]
  const rows = await tx.batch.findMany({ where: { distributorId, id: { in: [...ids] } }, include: { beer: true } })
  const sites = await tx.site.findMany({ where: { distributorId } })
  const balances = await balancesAt(tx, distributorId, ids.map(vesselPlace))
  const begun = rows.map((row) => ({ row, start: startOf(row.id, facts.get(row.id) ?? []) }))
  found.vesselIds.push(...rows.map(({ vesselId }) => vesselId))
  // Those that never were leave their vessels first: a batch that a blend had ended may be in one again.
  for (const { row, start } of begun) if (!start) await emptyUnbrewed(tx, distributorId, row)
  for (const { row, start } of begun) {
    const about = facts.get(row.id) ?? []
    const site = sites.find(({ id }) => id === row.siteId)
    if (!site || !start) continue
    const at = (fact: Fact) => momentOf(fact, site)
    const state = batchState(start, about, readinessOf(row.beer), at)
    const vessel = await tx.vessel.findUniqueOrThrow({
      where: { distributorId_id: { distributorId, id: state.vesselId } },
      select: { kind: true },
    })
    const left = balances.get(vesselPlace(row.id)) ?? 0
    const emptiedOn =
      state.emptiedOn ?? (left === 0 ? lastDay(about.filter(moves)) : await emptiedBefore(tx, row, state.vesselId))
    await tx.batch.update({
      where: { distributorId_id: { distributorId, id: row.id } },
      data: {
        vesselId: state.vesselId,
        vesselKind: vessel.kind,
        readyAt: new Date(state.readyAt),
        transferredOn: dateOrNull(state.transferredOn),
        openedOn: dateOrNull(state.openedOn),
        primable: state.primable,
        fermentationProven: state.proven,
        quarantined: state.quarantined,
        emptiedOn: dateOrNull(emptiedOn),
      },
    })
    found.vacated.push(...state.left, ...(emptiedOn ? [{ vesselId: state.vesselId, on: emptiedOn }] : []))
    found.vesselIds.push(state.vesselId, ...state.left.map(({ vesselId }) => vesselId))
  }
  return found
}

/**
 * The day on which a batch was emptied that a correction leaves something of, where another batch is in its vessel by now: the
 * vessel was empty, so what is left stays in the ledger until someone counts it or says where it went. Undefined where it is not so.
 */
async function emptiedBefore(
  tx: TransactionClient,
  { distributorId, id, emptiedOn }: Prisma.BatchGetPayload<object>,
  vesselId: string,
): Promise<LocalDate | undefined> {
  if (!emptiedOn) return undefined
  const other = await tx.batch.findFirst({
    where: { distributorId, vesselId, emptiedOn: null, id: { not: id } },
    select: { id: true },
  })
  return other ? dayOf(emptiedOn) : undefined
}

/** Whether a fact moves anything: what is read or said of a batch does not empty it. */
function moves(fact: Fact): boolean {
  return postingsOf(fact).length > 0
}

/** A batch whose brew was withdrawn holds no vessel. One that no fact ever began is left as set-up entered it. */
async function emptyUnbrewed(
  tx: TransactionClient,
  distributorId: string,
  { id, brewedOn, readyAt }: Prisma.BatchGetPayload<object>,
): Promise<void> {
  const begun = await tx.fact.findFirst({
    where: {
      ...{ distributorId, kind: { in: ['BREWED', 'PART_TRANSFERRED', 'BLENDED'] }, replacedById: { not: null } },
      subjects: { some: { kind: 'BATCH', subjectId: id } },
    },
  })
  if (begun) await tx.batch.updateMany({ where: { distributorId, id }, data: { emptiedOn: brewedOn ?? readyAt } })
}

/** How the batch began; undefined where no fact says so. */
function startOf(id: string, facts: readonly Fact[]): BatchStart | undefined {
  for (const fact of facts) {
    if (fact.kind === 'BATCH_OPENING' || fact.kind === 'BREWED') return { id, ...fact.data.start }
    if ((fact.kind === 'PART_TRANSFERRED' || fact.kind === 'BLENDED') && fact.data.newBatchId === id)
      return { id, ...fact.data.start }
  }
  return undefined
}

function readinessOf(beer: Prisma.BeerGetPayload<object>): Readiness {
  return {
    ...(beer.finalGravity === null ? {} : { finalGravity: beer.finalGravity }),
    above: beer.gravityTolerance,
    equalWithin: beer.gravityEqualWithin,
    hoursAfterFermentation: beer.restHours + beer.dryHopHours + beer.crashHours,
  }
}

/** When a fact happened; of one that names only a day, when that day's filling starts. */
function momentOf({ at, day }: Fact, site: { fillStarts: string; timeZone: string }): Date {
  return at === undefined ? instantOf(day, site.fillStarts, site.timeZone) : new Date(at)
}

function lastDay(facts: readonly Fact[]): LocalDate | undefined {
  return facts.reduce<LocalDate | undefined>(
    (last, { day }) => (last === undefined || day > last ? day : last),
    undefined,
  )
}

async function projectLots(
  tx: TransactionClient,
  distributorId: string,
  facts: ReadonlyMap<string, Fact[]>,
): Promise<void> {
  for (const [id, about] of facts)
    await tx.stockLot.updateMany({ where: { distributorId, id }, data: { quarantined: isLotQuarantined(about) } })
}

async function projectLines(
  tx: TransactionClient,
  distributorId: string,
  facts: ReadonlyMap<string, Fact[]>,
): Promise<void> {
  if (facts.size === 0) return
  const rows = await tx.orderLine.findMany({ where: { distributorId, id: { in: [...facts.keys()] } } })
  const orderIds = new Set<string>()
  for (const row of rows) {
    const { dispatched, delivered, closedShort, onRoad } = lineState(facts.get(row.id) ?? [])
    // More than was ordered can not have been sent for the line; what was is seen in the ledger.
    const sent = Math.min(dispatched, row.quantity)
    const data = {
      dispatched: sent,
      delivered: Math.min(delivered, sent),
      closedShort: Math.min(closedShort, row.quantity - sent),
      onRoad,
    }
    const isDone = data.delivered + data.closedShort >= row.quantity
    const status = isDone ? 'DELIVERED' : row.status === 'DELIVERED' ? 'OPEN' : row.status
    await tx.orderLine.update({
      where: { distributorId_id: { distributorId, id: row.id } },
      data: { ...data, status },
    })
    orderIds.add(row.orderId)
  }
  for (const orderId of orderIds) {
    const open = await tx.orderLine.count({ where: { distributorId, orderId, status: { in: ['OPEN', 'RESERVED'] } } })
    await tx.order.updateMany({
      where: { distributorId, id: orderId, status: { in: ['OPEN', 'DELIVERED'] } },
      data: { status: open === 0 ? 'DELIVERED' : 'OPEN' },
    })
  }
}

function dateOrNull(day: LocalDate | undefined): Date | null {
  return day === undefined ? null : dateOf(day)
}
