// The fleets and accounts of a problem as the ledger has them: what is clean, what is expected back, and when.
import type { TransactionClient } from '../database/client.ts'
import {
  type ContainerBooks,
  type ContainerSetup,
  type FleetContainers,
  fleetContainers,
} from '../floor/containers/fleet-containers.ts'
import { addDays, dayNumber, isoWeekday, type LocalDate, type Problem } from '../planner/documents/index.ts'
import { readContainers } from './containers.ts'
import type { SetupTables } from './setup-rows.ts'

/** The parts of a problem's set-up that decide it. */
export type SetupOfContainers = Pick<Problem, 'fleets' | 'accounts' | 'routes' | 'sites'>

/** Days within which a next route day is looked for. */
const ROUTE_DAYS = 60

/** What the ledger says of the containers of some fleets. */
export interface FleetBooks {
  /** Which fleets, in their order. */
  of: string
  books: ContainerBooks
}

/** What of the set-up and the ledger is known, so that it need not be read. */
export interface KnownOfContainers {
  /** Every account, a retired one too. */
  accounts: SetupTables['accounts']
  /** The books of the same day, where nothing has moved since at accounts, on the road or to be washed. Absent: they are read. */
  containers?: FleetBooks | undefined
}

/**
 * Finds where the fleets' containers are. `daysOut` says after how many days from serving an account's containers are back,
 * of accounts that have had any.
 */
export async function readFleetContainers(
  tx: TransactionClient,
  distributorId: string,
  setup: SetupOfContainers,
  today: LocalDate,
  { accounts, containers: known }: KnownOfContainers,
): Promise<{ fleets: FleetContainers[]; daysOut: Map<string, number>; containers: FleetBooks }> {
  const fleets = setup.fleets.map(({ siteId, containerTypeId: typeId, washDays, returns: announced }) => ({
    ...{ siteId, typeId, washDays, announced },
  }))
  const of = JSON.stringify(fleets.map(({ siteId, typeId, washDays }) => [siteId, typeId, washDays]))
  const books = known?.of === of ? known.books : await readContainers(tx, distributorId, { today, fleets, accounts })
  const returnDays = new Map(accounts.map(({ id, returnDays: days }) => [id, days ?? undefined]))
  const found = fleetContainers(books, {
    ...{ today, fleets },
    returnDays: (accountId) => returnDays.get(accountId),
    nextRouteDay: routeDays(setup, today),
  })
  return { ...found, containers: { of, books } }
}

/** The set-up with the containers that are clean and expected now, and the days that accounts really keep them (C1). */
export async function withContainers<Setup extends SetupOfContainers>(
  tx: TransactionClient,
  distributorId: string,
  setup: Setup,
  today: LocalDate,
  known: KnownOfContainers,
): Promise<{ setup: Setup; containers: FleetBooks }> {
  const { fleets, daysOut, containers } = await readFleetContainers(tx, distributorId, setup, today, known)
  const counted = {
    ...setup,
    fleets: setup.fleets.map((fleet, index) => ({
      ...fleet,
      // Washing that is due counts as done.
      cleanNow: fleet.cleanNow + (fleets[index]?.dirty ?? 0),
      returns: fleets[index]?.returns ?? fleet.returns,
    })),
    accounts: setup.accounts.map((account) => ({
      ...account,
      returnDays: daysOut.get(account.id) ?? account.returnDays,
    })),
  }
  return { setup: counted, containers }
}

/** The next day on which a route of a site leaves (T2), of the account where it has one there; tomorrow where none does. */
function routeDays({ accounts, routes, sites }: SetupOfContainers, today: LocalDate): ContainerSetup['nextRouteDay'] {
  const known = new Map<string, LocalDate>()
  const routeIds = new Map(accounts.map((account) => [account.id, account.routeIds]))
  return (siteId, accountId) => {
    const key = `${siteId}|${accountId ?? ''}`
    const found = known.get(key) ?? next(siteId, accountId)
    known.set(key, found)
    return found
  }

  function next(siteId: string, accountId: string | undefined): LocalDate {
    const ofSite = routes.filter((route) => route.siteId === siteId)
    const own = ofSite.filter(({ id }) => accountId !== undefined && routeIds.get(accountId)?.includes(id))
    const leaving = own.length > 0 ? own : ofSite
    const closed = new Set(sites.find(({ id }) => id === siteId)?.closedOn)
    for (let day = today; day < addDays(today, ROUTE_DAYS); day = addDays(day, 1)) {
      const weekday = isoWeekday(dayNumber(day))
      if (closed.has(day)) continue
      if (leaving.some((route) => route.weekdays.includes(weekday) && !route.closedOn.includes(day))) return day
    }
    return addDays(today, 1)
  }
}
