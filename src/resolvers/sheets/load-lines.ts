// What leaves on a route on a day: deliveries of the plan in force, and what was said to have left.
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { FactOf } from '../../floor/facts/fact.ts'
import { addDays, type LocalDate } from '../../planner/documents/index.ts'
import { EFFECTIVE, factOf } from '../../records/fact-rows.ts'
import { byId } from '../../records/sheet-records.ts'
import type { LoadedLine, LoadedLot } from '../../sheets/load-sheet.ts'
import { plannedLotCodes } from '../floor/lot-codes.ts'
import type { SheetSession } from './sheet-session.ts'

/** What leaves, before it is known by the names that people use. */
interface Leaving {
  orderLineId: string
  lots: { lotId?: string; runId?: string; quantity: number; bestBefore?: LocalDate }[]
  serveOn: LocalDate
  isSaid: boolean
}

/** The lines that leave on a route on a day, planned and said; a line of which a part has left stands twice. */
export async function loadLines(session: SheetSession, routeId: string, day: LocalDate): Promise<LoadedLine[]> {
  const leaving = [...planned(session, routeId, day), ...(await said(session, routeId, day))]
  return named(session, leaving, routeId, day)
}

function planned({ facts }: SheetSession, routeId: string, day: LocalDate): Leaving[] {
  return facts.deliveries
    .filter(({ route, dispatch }) => route.id === routeId && facts.dateOf(dispatch) === day)
    .map(({ line, serve, sources }) => ({
      orderLineId: line.id,
      lots: sources.map(({ parcel: { run, lot, bestBefore }, quantity }) => ({
        ...{ quantity, bestBefore: facts.dateOf(bestBefore) },
        ...(run ? { runId: run.run.id } : {}),
        ...(lot ? { lotId: lot.id } : {}),
      })),
      serveOn: facts.dateOf(serve),
      isSaid: false,
    }))
}

async function said({ tx, distributorId }: SheetSession, routeId: string, day: LocalDate): Promise<Leaving[]> {
  const where = { distributorId, ...EFFECTIVE, kind: 'DISPATCHED', on: dateOf(day) }
  const rows = await tx.fact.findMany({ where, orderBy: { number: 'asc' } })
  return rows
    .map(factOf)
    .filter((fact): fact is FactOf<'DISPATCHED'> => fact.kind === 'DISPATCHED' && fact.data.routeId === routeId)
    .map(({ data: { orderLineId, lots, serveOn } }) => ({ orderLineId, lots: [...lots], serveOn, isSaid: true }))
}

/** The same with the names that people use, and the days that follow from the set-up. */
async function named(
  session: SheetSession,
  leaving: readonly Leaving[],
  routeId: string,
  day: LocalDate,
): Promise<LoadedLine[]> {
  const { tx, distributorId } = session
  const ids = leaving.map(({ orderLineId }) => orderLineId)
  const lines = byId(
    await tx.orderLine.findMany({
      where: { distributorId, id: { in: ids } },
      include: { order: { include: { account: true } }, pack: { include: { beer: true, containerType: true } } },
    }),
  )
  const { transitDays } = await tx.route.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id: routeId } },
  })
  const lotOf = await lotsByName(session, leaving)
  return leaving.flatMap(({ orderLineId, lots, serveOn, isSaid }) => {
    const line = lines.get(orderLineId)
    if (!line) return []
    const { order, pack } = line
    const quantity = lots.reduce((sum, each) => sum + each.quantity, 0)
    return {
      ...{ orderLineId, accountId: order.accountId, orderNumber: order.number },
      orderRef: order.externalRef ?? undefined,
      ...{ packId: pack.id, beerName: pack.beer.name, packName: pack.name },
      ...{ containerTypeId: pack.containerTypeId, containerName: pack.containerType.name },
      ...{ quantity, lots: lots.map(lotOf), litres: quantity * pack.containerType.nominalLitres },
      ...{ serveOn, isSaid, settleUntil: addDays(day, transitDays + (order.account.settleDays ?? pack.settleDays)) },
    }
  })
}

/** How lots are called: those that stand by their codes, those that are to be filled by the codes that they will get. */
async function lotsByName(
  { tx, distributorId, planId }: SheetSession,
  leaving: readonly Leaving[],
): Promise<(lot: Leaving['lots'][number]) => LoadedLot> {
  const all = leaving.flatMap(({ lots }) => lots)
  const lotIds = all.flatMap(({ lotId }) => lotId ?? [])
  const runIds = all.flatMap(({ runId }) => runId ?? [])
  const lots = byId(await tx.stockLot.findMany({ where: { distributorId, id: { in: lotIds } } }))
  const runs =
    planId === undefined || runIds.length === 0
      ? []
      : await tx.fillRun.findMany({ where: { distributorId, planId, id: { in: runIds } } })
  const codes = await plannedLotCodes(tx, distributorId, runs)
  const codeOfRun = new Map(runs.map(({ id }, at) => [id, codes[at] ?? '']))
  return ({ lotId, runId, quantity, bestBefore }) => {
    const lot = lots.get(lotId ?? '')
    return {
      ...{ code: lot?.code ?? codeOfRun.get(runId ?? '') ?? '', quantity },
      bestBefore: bestBefore ?? (lot ? dayOf(lot.bestBefore) : ''),
    }
  }
}
