// A scenario to rows: a whole distributor at once, for the demo, tests and benchmarks.
import { randomUUID } from 'node:crypto'
import { dateOf } from '../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../database/client.ts'
import { insertRows } from '../database/insert-rows.ts'
import { DEFAULT_COSTS, type Plan, type Problem } from '../planner/documents/index.ts'
import { openLedger } from './open-ledger.ts'
import { savePlan } from './save-plan.ts'
import { saveSetupRows } from './save-setup-rows.ts'
import { named, type Scenario } from './scenario.ts'

/**
 * Writes the distributor `distributorId`, which must not exist, with everything that the scenario has. Its orders are
 * placed at `at`. What a baseline says about things that the problem no longer has is left out; the rest becomes the plan in
 * force. Answers that plan's id.
 */
export async function saveSetup(
  tx: TransactionClient,
  distributorId: string,
  { distributor, problem, names, sheets }: Scenario,
  at: Date,
): Promise<string | undefined> {
  await tx.distributor.create({
    data: {
      id: distributorId,
      ...distributor,
      horizonDays: problem.horizonDays,
      frozenDays: problem.frozenDays,
      costs: problem.costs ?? {},
    },
  })
  await saveSetupRows(tx, distributorId, problem, { names, sheets })
  await saveOrders(tx, distributorId, problem, names, at)
  await saveBeerThatExists(tx, distributorId, problem, names)
  await openLedger(tx, distributorId, { revision: 0, day: problem.today, at })
  if (!problem.baseline) return undefined
  return saveBaseline(tx, distributorId, problem, stillSaid(problem.baseline, problem), at)
}

async function saveOrders(
  tx: TransactionClient,
  distributorId: string,
  { orderLines }: Problem,
  names: Scenario['names'],
  placedAt: Date,
): Promise<void> {
  const orders = new Map<string, Prisma.OrderCreateManyInput>()
  const linesSoFar = new Map<string, number>()
  const lines = orderLines.map(
    ({ orderId, accountId, serveOn, latestServeOn, promisedOn, placedAt: linePlacedAt, ...line }) => {
      const order = orders.get(orderId)
      if (order && order.accountId !== accountId)
        throw new Error(`The order "${orderId}" is of two accounts, "${order.accountId}" and "${accountId}".`)
      if (!order) {
        const { name, externalRef } = names.orders?.[orderId] ?? {}
        orders.set(orderId, {
          distributorId,
          id: orderId,
          number: orders.size + 1,
          accountId,
          placedAt,
          note: name,
          externalRef,
        })
      }
      const lineNumber = (linesSoFar.get(orderId) ?? 0) + 1
      linesSoFar.set(orderId, lineNumber)
      return {
        distributorId,
        orderId,
        lineNumber,
        ...line,
        externalRef: names.orderLines?.[line.id]?.externalRef,
        serveOn: dateOf(serveOn),
        latestServeOn: latestServeOn === undefined ? null : dateOf(latestServeOn),
        promisedOn: promisedOn === undefined ? null : dateOf(promisedOn),
        placedAt: linePlacedAt === undefined ? null : new Date(linePlacedAt),
      }
    },
  )
  await insertRows(tx, 'Order', [...orders.values()])
  await insertRows(tx, 'OrderLine', lines)
}

/** Batches that stand in vessels, and lots in stock. */
async function saveBeerThatExists(
  tx: TransactionClient,
  distributorId: string,
  { vessels, batches, stock }: Problem,
  names: Scenario['names'],
): Promise<void> {
  const vesselOf = new Map(vessels.map((vessel) => [vessel.id, vessel]))
  await insertRows(
    tx,
    'Batch',
    batches.map(({ readyAt, transferredOn, openedOn, ...batch }) => {
      const vessel = vesselOf.get(batch.vesselId)
      if (!vessel) throw new Error(`The batch "${batch.id}" is in an unknown vessel, "${batch.vesselId}".`)
      const { name, externalRef } = named(names.batches, batch.id)
      return {
        distributorId,
        ...batch,
        code: name,
        externalRef,
        siteId: vessel.siteId,
        vesselKind: vessel.kind,
        readyAt: new Date(readyAt),
        transferredOn: transferredOn === undefined ? null : dateOf(transferredOn),
        openedOn: openedOn === undefined ? null : dateOf(openedOn),
      }
    }),
  )
  await insertRows(
    tx,
    'StockLot',
    stock.map(({ filledOn, readyOn, bestBefore, ...lot }) => {
      const { name, externalRef } = named(names.stock, lot.id)
      return {
        distributorId,
        ...lot,
        code: name,
        externalRef,
        filledOn: dateOf(filledOn),
        readyOn: dateOf(readyOn),
        bestBefore: dateOf(bestBefore),
      }
    }),
  )
}

async function saveBaseline(
  tx: TransactionClient,
  distributorId: string,
  problem: Problem,
  plan: Plan,
  at: Date,
): Promise<string> {
  const id = randomUUID()
  await tx.plan.create({
    data: {
      distributorId,
      id,
      status: 'SOLVING',
      fromRevision: 0,
      today: dateOf(problem.today),
      horizonDays: problem.horizonDays,
      frozenDays: problem.frozenDays,
      costs: { ...DEFAULT_COSTS, ...problem.costs },
      seed: 0,
      createdAt: at,
    },
  })
  await savePlan(tx, distributorId, id, plan)
  await tx.plan.update({
    where: { distributorId_id: { distributorId, id } },
    data: { status: 'IN_FORCE', solvedAt: at, adoptedAt: at },
  })
  return id
}

/** What of a baseline can be said in rows: decisions and deliveries all of whose things the problem still has. */
export function stillSaid(baseline: Plan, problem: Problem): Plan {
  const beers = idsOf(problem.beers)
  const vessels = idsOf(problem.vessels)
  const fillers = idsOf(problem.fillers)
  const packs = idsOf(problem.beers.flatMap((beer) => beer.packs))
  const routes = idsOf(problem.routes)
  const lots = idsOf(problem.stock)
  const lines = idsOf(problem.orderLines)
  const brews = baseline.brews.filter(({ beerId, vesselId }) => beers.has(beerId) && vessels.has(vesselId))
  const batches = new Set([...idsOf(problem.batches), ...idsOf(brews)])
  const fillRuns = baseline.fillRuns.filter(
    (run) => batches.has(run.batchId) && fillers.has(run.fillerId) && packs.has(run.packId),
  )
  const runs = idsOf(fillRuns)
  return {
    ...baseline,
    brews,
    fillRuns,
    transfers: baseline.transfers.filter((t) => batches.has(t.batchId) && vessels.has(t.toVesselId)),
    deliveries: baseline.deliveries.filter(
      ({ orderLineId, routeId, from }) =>
        lines.has(orderLineId) &&
        routes.has(routeId) &&
        from.every((source) =>
          source.fillRunId === undefined ? lots.has(source.stockLotId ?? '') : runs.has(source.fillRunId),
        ),
    ),
    dumped: baseline.dumped.filter(({ batchId }) => batches.has(batchId)),
    unserved: baseline.unserved.filter(({ orderLineId }) => lines.has(orderLineId)),
    late: baseline.late?.filter(({ orderLineId }) => lines.has(orderLineId)),
    brokenPromises: baseline.brokenPromises?.filter(({ orderLineId }) => lines.has(orderLineId)),
  }
}

function idsOf(list: readonly { id: string }[]): Set<string> {
  return new Set(list.map(({ id }) => id))
}
