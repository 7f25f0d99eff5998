// A scenario to rows: a whole distributor at once, for the demo, tests and benchmarks.
import { randomUUID } from 'node:crypto'
import { dateOf } from '../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../database/client.ts'
import { insertRows } from '../database/insert-rows.ts'
import { DEFAULT_COSTS, type LocalDate, type Plan, type Problem } from '../planner/documents/index.ts'
import { savePlan } from './save-plan.ts'
import { fleetKey, type Names, type Scenario, storeKey } from './scenario.ts'

const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7]
const MOST_EARLY_DAYS = 6

/**
 * Writes the distributor `distributorId`, which must not exist, with everything that the scenario has. `at` is told as
 * the time at which its orders were placed. What a baseline says about things that the problem has no longer is left
 * out; the rest becomes the plan in force. Answers that plan's id.
 */
export async function saveSetup(
  tx: TransactionClient,
  distributorId: string,
  { distributor, problem, names }: Scenario,
  at: Date,
): Promise<string | undefined> {
  await tx.distributor.create({
    data: {
      id: distributorId,
      ...distributor,
      horizonDays: problem.horizonDays,
      frozenDays: problem.frozenDays ?? 0,
      costs: problem.costs ?? {},
    },
  })
  await saveSites(tx, distributorId, problem, names)
  await saveBeers(tx, distributorId, problem, names)
  await saveFillers(tx, distributorId, problem, names)
  await saveRoutesAndAccounts(tx, distributorId, problem, names)
  await saveOrders(tx, distributorId, problem, names, at)
  await saveBeerThatExists(tx, distributorId, problem, names)
  if (!problem.baseline) return undefined
  return saveBaseline(tx, distributorId, problem, stillSaid(problem.baseline, problem), at)
}

type Save = (tx: TransactionClient, distributorId: string, problem: Problem, names: Scenario['names']) => Promise<void>

const saveSites: Save = async (tx, distributorId, { sites, vessels, stores, fleets, containerTypes }, names) => {
  await insertRows(
    tx,
    'Site',
    sites.map(({ closedOn, ...site }) => ({ distributorId, ...site, ...naming(names.sites, site.id) })),
  )
  await insertRows(
    tx,
    'SiteClosure',
    sites.flatMap(({ id, closedOn = [] }) =>
      unique(closedOn).map((day) => ({ distributorId, siteId: id, on: dateOf(day) })),
    ),
  )
  await insertRows(
    tx,
    'Vessel',
    vessels.map(({ outOfService, availableFrom, ...vessel }) => ({
      distributorId,
      ...vessel,
      ...naming(names.vessels, vessel.id),
      availableFrom: availableFrom === undefined ? null : dateOf(availableFrom),
    })),
  )
  await insertRows(
    tx,
    'VesselOutage',
    vessels.flatMap(({ id, outOfService = [] }) =>
      oneForEachStart(outOfService).map(({ from, to }) => ({
        distributorId,
        vesselId: id,
        from: dateOf(from),
        to: dateOf(to),
      })),
    ),
  )
  await insertRows(
    tx,
    'Store',
    stores.map((store) => {
      const id = storeKey(store)
      return { distributorId, id, ...store, ...naming(names.stores, id) }
    }),
  )
  await insertRows(
    tx,
    'ContainerType',
    containerTypes.map((type) => ({ distributorId, ...type, ...naming(names.containerTypes, type.id) })),
  )
  await insertRows(
    tx,
    'Fleet',
    fleets.map(({ returns, ...fleet }) => {
      const id = fleetKey(fleet)
      return { distributorId, id, ...fleet, externalRef: names.fleets?.[id]?.externalRef ?? null }
    }),
  )
  await insertRows(
    tx,
    'FleetReturn',
    fleets.flatMap((fleet) =>
      totalByDay(fleet.returns ?? []).map(([day, quantity]) => ({
        distributorId,
        fleetId: fleetKey(fleet),
        on: dateOf(day),
        quantity,
      })),
    ),
  )
}

const saveBeers: Save = async (tx, distributorId, { beers }, names) => {
  await insertRows(
    tx,
    'Beer',
    beers.map(({ packs, vesselIds, ...beer }) => ({
      distributorId,
      ...beer,
      ...naming(names.beers, beer.id),
      anyVessel: vesselIds === undefined,
    })),
  )
  await insertRows(
    tx,
    'BeerVessel',
    beers.flatMap(({ id, vesselIds = [] }) =>
      unique(vesselIds).map((vesselId) => ({ distributorId, beerId: id, vesselId })),
    ),
  )
  await insertRows(
    tx,
    'Pack',
    beers.flatMap(({ id, packs }) =>
      packs.map((pack) => ({ distributorId, beerId: id, ...pack, ...naming(names.packs, pack.id) })),
    ),
  )
}

const saveFillers: Save = async (tx, distributorId, { fillers }, names) => {
  await insertRows(
    tx,
    'Filler',
    fillers.map(({ minutesOn, minutesEach, setupMinutes, ...filler }) => ({
      distributorId,
      ...filler,
      ...naming(names.fillers, filler.id),
      setupMinutes: typeof setupMinutes === 'number' ? setupMinutes : null,
    })),
  )
  await insertRows(
    tx,
    'FillerDay',
    fillers.flatMap(({ id, minutesOn = {} }) =>
      Object.entries(minutesOn).map(([day, minutes]) => ({ distributorId, fillerId: id, on: dateOf(day), minutes })),
    ),
  )
  await insertRows(
    tx,
    'FillerSetup',
    fillers.flatMap(({ id, setupMinutes }) =>
      typeof setupMinutes === 'number'
        ? []
        : Object.entries(setupMinutes).map(([beerId, minutes]) => ({ distributorId, fillerId: id, beerId, minutes })),
    ),
  )
  await insertRows(
    tx,
    'FillerRate',
    fillers.flatMap(({ id, minutesEach }) =>
      Object.entries(minutesEach).map(([containerTypeId, minutes]) => ({
        distributorId,
        fillerId: id,
        containerTypeId,
        minutesEach: minutes,
      })),
    ),
  )
}

const saveRoutesAndAccounts: Save = async (tx, distributorId, { routes, accounts }, names) => {
  await insertRows(
    tx,
    'Route',
    routes.map(({ closedOn, cutOff, ...route }) => ({
      distributorId,
      ...route,
      cutOffDaysBefore: cutOff?.daysBefore ?? null,
      cutOffAt: cutOff?.at ?? null,
      ...naming(names.routes, route.id),
    })),
  )
  await insertRows(
    tx,
    'RouteClosure',
    routes.flatMap(({ id, closedOn = [] }) =>
      unique(closedOn).map((day) => ({ distributorId, routeId: id, on: dateOf(day) })),
    ),
  )
  await insertRows(
    tx,
    'Account',
    accounts.map(({ routeIds, ...account }) => ({
      distributorId,
      receivesWeekdays: EVERY_DAY,
      maxEarlyDays: MOST_EARLY_DAYS,
      ...account,
      ...naming(names.accounts, account.id),
    })),
  )
  await insertRows(
    tx,
    'AccountRoute',
    accounts.flatMap(({ id, routeIds }) =>
      unique(routeIds).map((routeId) => ({ distributorId, accountId: id, routeId })),
    ),
  )
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

const saveBeerThatExists: Save = async (tx, distributorId, { vessels, batches, stock }, names) => {
  const vesselOf = new Map(vessels.map((vessel) => [vessel.id, vessel]))
  await insertRows(
    tx,
    'Batch',
    batches.map(({ readyAt, transferredOn, openedOn, ...batch }) => {
      const vessel = vesselOf.get(batch.vesselId)
      if (!vessel) throw new Error(`The batch "${batch.id}" is in an unknown vessel, "${batch.vesselId}".`)
      const { name, externalRef } = naming(names.batches, batch.id)
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
      const { name, externalRef } = naming(names.stock, lot.id)
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
      frozenDays: problem.frozenDays ?? 0,
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

/** A thing without a name is called by its id. */
function naming(names: Names | undefined, id: string): { name: string; externalRef: string | null } {
  const { name = id, externalRef = null } = names?.[id] ?? {}
  return { name, externalRef }
}

function unique<Value>(values: readonly Value[]): Value[] {
  return [...new Set(values)]
}

function idsOf(list: readonly { id: string }[]): Set<string> {
  return new Set(list.map(({ id }) => id))
}

/** Of spans that begin on one day the longest says all. */
function oneForEachStart(spans: readonly { from: LocalDate; to: LocalDate }[]): { from: LocalDate; to: LocalDate }[] {
  const ends = new Map<LocalDate, LocalDate>()
  for (const { from, to } of spans) if (to > (ends.get(from) ?? '')) ends.set(from, to)
  return [...ends].map(([from, to]) => ({ from, to }))
}

function totalByDay(returns: readonly { on: LocalDate; quantity: number }[]): [LocalDate, number][] {
  const totals = new Map<LocalDate, number>()
  for (const { on, quantity } of returns) totals.set(on, (totals.get(on) ?? 0) + quantity)
  return [...totals].filter(([, quantity]) => quantity > 0)
}
