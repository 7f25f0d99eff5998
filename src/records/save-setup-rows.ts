// The set-up of a scenario to rows, table by table.
import { dateOf } from '../database/calendar-day.ts'
import type { TransactionClient } from '../database/client.ts'
import { insertRows } from '../database/insert-rows.ts'
import type { LocalDate, Problem } from '../planner/documents/index.ts'
import { fleetKey, named, type Scenario, storeKey } from './scenario.ts'

/** What a scenario says beside the problem. */
type Described = Pick<Scenario, 'names' | 'sheets'>

type Save = (tx: TransactionClient, distributorId: string, problem: Problem, described: Described) => Promise<void>

/** Writes sites, vessels, stores, containers, beers, fillers, routes and accounts of a distributor that has none yet. */
export const saveSetupRows: Save = async (tx, distributorId, problem, described) => {
  for (const save of [saveSites, saveContainers, saveBeers, saveFillers, saveRoutesAndAccounts])
    await save(tx, distributorId, problem, described)
}

const saveSites: Save = async (tx, distributorId, { sites, vessels }, { names }) => {
  await insertRows(
    tx,
    'Site',
    // Limits of single days follow from what happened on them: the set-up has none.
    sites.map(({ closedOn, noFillsOn, brewsOn, transfersOn, ...site }) => ({
      distributorId,
      ...site,
      ...named(names.sites, site.id),
    })),
  )
  await insertRows(
    tx,
    'SiteClosure',
    sites.flatMap(({ id, closedOn }) =>
      unique(closedOn).map((day) => ({ distributorId, siteId: id, on: dateOf(day) })),
    ),
  )
  await insertRows(
    tx,
    'Vessel',
    vessels.map(({ outOfService, availableFrom, ...vessel }) => ({
      distributorId,
      ...vessel,
      ...named(names.vessels, vessel.id),
      availableFrom: availableFrom === undefined ? null : dateOf(availableFrom),
    })),
  )
  await insertRows(
    tx,
    'VesselOutage',
    vessels.flatMap(({ id, outOfService }) =>
      oneForEachStart(outOfService).map(({ from, to }) => ({
        distributorId,
        vesselId: id,
        from: dateOf(from),
        to: dateOf(to),
      })),
    ),
  )
}

const saveContainers: Save = async (tx, distributorId, { stores, fleets, containerTypes }, { names, sheets = {} }) => {
  await insertRows(
    tx,
    'Store',
    stores.map((store) => {
      const id = storeKey(store)
      return { distributorId, id, ...store, ...named(names.stores, id) }
    }),
  )
  await insertRows(
    tx,
    'ContainerType',
    containerTypes.map((type) => ({
      ...{ distributorId, ...type, ...named(names.containerTypes, type.id) },
      ...sheets.containerTypes?.[type.id],
    })),
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
      totalByDay(fleet.returns).map(([day, quantity]) => ({
        distributorId,
        fleetId: fleetKey(fleet),
        on: dateOf(day),
        quantity,
      })),
    ),
  )
}

const saveBeers: Save = async (tx, distributorId, { beers }, { names, sheets = {} }) => {
  await insertRows(
    tx,
    'Beer',
    beers.map(({ packs, vesselIds, ...beer }) => ({
      distributorId,
      ...beer,
      ...named(names.beers, beer.id),
      anyVessel: vesselIds === undefined,
      ...sheets.beers?.[beer.id],
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
      packs.map((pack) => ({
        ...{ distributorId, beerId: id, ...pack, ...named(names.packs, pack.id) },
        ...sheets.packs?.[pack.id],
      })),
    ),
  )
}

const saveFillers: Save = async (tx, distributorId, { fillers }, { names }) => {
  await insertRows(
    tx,
    'Filler',
    fillers.map(({ minutesOn, minutesEach, setupMinutes, ...filler }) => ({
      distributorId,
      ...filler,
      ...named(names.fillers, filler.id),
      setupMinutes: typeof setupMinutes === 'number' ? setupMinutes : null,
    })),
  )
  await insertRows(
    tx,
    'FillerDay',
    fillers.flatMap(({ id, minutesOn }) =>
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

const saveRoutesAndAccounts: Save = async (tx, distributorId, { routes, accounts }, { names, sheets = {} }) => {
  await insertRows(
    tx,
    'Route',
    routes.map(({ closedOn, cutOff, capacityLitresOn, ...route }) => ({
      distributorId,
      ...route,
      cutOffDaysBefore: cutOff?.daysBefore ?? null,
      cutOffAt: cutOff?.at ?? null,
      ...named(names.routes, route.id),
    })),
  )
  await insertRows(
    tx,
    'RouteClosure',
    routes.flatMap(({ id, closedOn }) =>
      unique(closedOn).map((day) => ({ distributorId, routeId: id, on: dateOf(day) })),
    ),
  )
  await insertRows(
    tx,
    'Account',
    accounts.map(({ routeIds, ...account }) => ({
      distributorId,
      ...account,
      ...named(names.accounts, account.id),
      ...sheets.accounts?.[account.id],
    })),
  )
  await insertRows(
    tx,
    'AccountRoute',
    accounts.flatMap(({ id, routeIds }) =>
      unique(routeIds).map((routeId) => {
        const at = sheets.drops?.[routeId]?.indexOf(id) ?? -1
        return { distributorId, accountId: id, routeId, ...(at === -1 ? {} : { position: at + 1 }) }
      }),
    ),
  )
  await insertRows(
    tx,
    'AccountWindow',
    accounts.flatMap(({ id: accountId }) =>
      (sheets.windows?.[accountId] ?? []).map((each, index) => ({ distributorId, accountId, n: index + 1, ...each })),
    ),
  )
}

function unique<Value>(values: readonly Value[]): Value[] {
  return [...new Set(values)]
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
