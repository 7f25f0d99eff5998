// Rows that follow from facts and the ledger: batches, lots, containers, order lines. They are written after the facts, from
// the facts, so that replaying those gives the same rows.
import { dateOf } from '../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../database/client.ts'
import { type BatchStart, batchState, type Readiness } from '../floor/facts/batch-history.ts'
import type { Fact } from '../floor/facts/fact.ts'
import { lineState } from '../floor/facts/line-history.ts'
import { isLotQuarantined } from '../floor/facts/lot-history.ts'
import { keyOf, kindOf, type Place, vesselPlace } from '../floor/ledger/place.ts'
import { instantOf, type LocalDate } from '../planner/documents/index.ts'
import { factsAbout, type Subject } from './fact-rows.ts'
import { balancesAt } from './ledger.ts'

/** Writes the rows of things that facts are about, and of places whose balance changed. The caller holds the lock. */
export async function projectFacts(
  tx: TransactionClient,
  distributorId: string,
  subjects: readonly Subject[],
  balances: ReadonlyMap<Place, number>,
): Promise<void> {
  const idsOf = (kind: Subject['kind']) => [
    ...new Set(subjects.filter((each) => each.kind === kind).map(({ id }) => id)),
  ]
  await projectBatches(tx, distributorId, idsOf('BATCH'))
  await projectLots(tx, distributorId, idsOf('LOT'))
  await projectLines(tx, distributorId, idsOf('ORDER_LINE'))
  await projectVessels(tx, distributorId, idsOf('VESSEL'))
  for (const [place, amount] of balances) await projectBalance(tx, distributorId, place, amount)
}

async function projectBalance(
  tx: TransactionClient,
  distributorId: string,
  place: Place,
  amount: number,
): Promise<void> {
  const [first = '', second = ''] = keyOf(place)
  switch (kindOf(place)) {
    case 'VESSEL':
      await tx.batch.updateMany({ where: { distributorId, id: first }, data: { litres: amount / 1000 } })
      break
    case 'FILLED':
      await tx.stockLot.updateMany({ where: { distributorId, id: first }, data: { quantity: amount } })
      break
    case 'CLEAN':
      await tx.fleet.updateMany({
        where: { distributorId, siteId: first, containerTypeId: second },
        data: { cleanNow: amount },
      })
      break
  }
}

async function projectBatches(tx: TransactionClient, distributorId: string, ids: readonly string[]): Promise<void> {
  if (ids.length === 0) return
  const facts = await factsAbout(tx, distributorId, 'BATCH', ids)
  const rows = await tx.batch.findMany({ where: { distributorId, id: { in: [...ids] } }, include: { beer: true } })
  const sites = await tx.site.findMany({ where: { distributorId } })
  const balances = await balancesAt(tx, distributorId, ids.map(vesselPlace))
  for (const row of rows) {
    const about = facts.get(row.id) ?? []
    const start = startOf(row.id, about)
    const site = sites.find(({ id }) => id === row.siteId)
    if (!site) continue
    if (!start) {
      await emptyUnbrewed(tx, distributorId, row)
      continue
    }
    const at = (fact: Fact) => momentOf(fact, site)
    const state = batchState(start, about, readinessOf(row.beer), at)
    const vessel = await tx.vessel.findUniqueOrThrow({
      where: { distributorId_id: { distributorId, id: state.vesselId } },
      select: { kind: true },
    })
    const left = balances.get(vesselPlace(row.id)) ?? 0
    const emptiedOn = state.emptiedOn ?? (left === 0 ? lastDay(about) : undefined)
    await tx.batch.update({
      where: { distributorId_id: { distributorId, id: row.id } },
      data: {
        vesselId: state.vesselId,
        vesselKind: vessel.kind,
        readyAt: new Date(state.readyAt),
        transferredOn: dateOrNull(state.transferredOn),
        openedOn: dateOrNull(state.openedOn),
        primable: state.primable,
        quarantined: state.quarantined,
        emptiedOn: dateOrNull(emptiedOn),
      },
    })
    const vacated = [...state.left, ...(emptiedOn ? [{ vesselId: state.vesselId, on: emptiedOn }] : [])]
    for (const { vesselId, on } of vacated)
      await tx.vessel.updateMany({
        where: { distributorId, id: vesselId, OR: [{ emptiedOn: null }, { emptiedOn: { lt: dateOf(on) } }] },
        data: { emptiedOn: dateOf(on) },
      })
  }
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

async function projectLots(tx: TransactionClient, distributorId: string, ids: readonly string[]): Promise<void> {
  if (ids.length === 0) return
  const facts = await factsAbout(tx, distributorId, 'LOT', ids)
  for (const [id, about] of facts)
    await tx.stockLot.updateMany({ where: { distributorId, id }, data: { quarantined: isLotQuarantined(about) } })
}

async function projectLines(tx: TransactionClient, distributorId: string, ids: readonly string[]): Promise<void> {
  if (ids.length === 0) return
  const facts = await factsAbout(tx, distributorId, 'ORDER_LINE', ids)
  const rows = await tx.orderLine.findMany({ where: { distributorId, id: { in: [...ids] } } })
  const orderIds = new Set<string>()
  for (const row of rows) {
    const { dispatched, delivered, closedShort } = lineState(facts.get(row.id) ?? [])
    // More than was ordered can not have been sent for the line; what was is seen in the ledger.
    const sent = Math.min(dispatched, row.quantity)
    const data = {
      dispatched: sent,
      delivered: Math.min(delivered, sent),
      closedShort: Math.min(closedShort, row.quantity - sent),
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

/** Spans out of service that facts say; those of the set-up stay as they are. */
async function projectVessels(tx: TransactionClient, distributorId: string, ids: readonly string[]): Promise<void> {
  if (ids.length === 0) return
  const facts = await factsAbout(tx, distributorId, 'VESSEL', ids)
  for (const [vesselId, about] of facts) {
    await endUnsaidOutages(tx, distributorId, vesselId, about)
    for (const fact of about) {
      const where = { distributorId_vesselId_from: { distributorId, vesselId, from: dateOf(fact.day) } }
      if (fact.kind === 'VESSEL_OUT') {
        const back = about.find((each) => each.kind === 'VESSEL_BACK' && each.day >= fact.day)
        const to = dateOf(back?.day ?? fact.data.until ?? FAR)
        await tx.vesselOutage.upsert({
          where,
          create: { distributorId, vesselId, from: dateOf(fact.day), to },
          update: { to },
        })
      }
    }
  }
}

/** Takes away the spans that facts said and that none says any more: they were corrected or withdrawn. */
async function endUnsaidOutages(
  tx: TransactionClient,
  distributorId: string,
  vesselId: string,
  counting: readonly Fact[],
): Promise<void> {
  const gone = await tx.fact.findMany({
    where: {
      ...{ distributorId, kind: 'VESSEL_OUT', withdraws: false, replacedById: { not: null } },
      subjects: { some: { kind: 'VESSEL', subjectId: vesselId } },
    },
    select: { on: true },
  })
  const said = new Set(counting.flatMap(({ kind, day }) => (kind === 'VESSEL_OUT' ? [dateOf(day).getTime()] : [])))
  const from = gone.map(({ on }) => on).filter((on) => !said.has(on.getTime()))
  if (from.length > 0) await tx.vesselOutage.deleteMany({ where: { distributorId, vesselId, from: { in: from } } })
}

/** A vessel of which no return is known is out until here. */
const FAR = '2999-12-31'

function dateOrNull(day: LocalDate | undefined): Date | null {
  return day === undefined ? null : dateOf(day)
}
