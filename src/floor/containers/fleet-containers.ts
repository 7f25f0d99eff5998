// Where the containers of every fleet are, and when those that are out are expected back.
import { addDays, type LocalDate, laterOf } from '../../planner/documents/index.ts'
import { type Announced, stillAnnounced } from './announced.ts'
import { type DaysOut, expectedDaysOut } from './days-out.ts'
import { countedOn, type Outlook, outlookOf } from './expected-return.ts'
import { type AccountMove, type Arrived, followAccount, stillThere } from './first-in-first-out.ts'
import { cleanFrom, type Dirty } from './washing.ts'

/** The containers of one type that belong to one site. */
export interface FleetKey {
  siteId: string
  typeId: string
}

/** What the ledger says of containers that are not at hand. */
export interface ContainerBooks {
  /** The day of the first entry. Absent: the ledger is empty. */
  recordsBegan?: LocalDate
  /** By account and fleet: what it holds, and what came and left in the last months. */
  accounts: (FleetKey & { accountId: string; held: number; moves: readonly AccountMove[] })[]
  /** On the road to an account, with the day on which the beer is to be served. */
  road: (FleetKey & { accountId: string; quantity: number; serveOn: LocalDate })[]
  /** Returned and not said to be washed, with what came in the last weeks. */
  dirty: (FleetKey & { held: number; arrived: readonly Arrived[] })[]
}

/** What the set-up says of it. */
export interface ContainerSetup {
  today: LocalDate
  fleets: readonly (FleetKey & { washDays: number; announced: readonly Announced[] })[]
  /** Days from serving until an account's container is back; undefined where the set-up says never (C1). */
  returnDays: (accountId: string) => number | undefined
  /** The next day, today included, on which a route of the site leaves, of the account where one is named. */
  nextRouteDay: (siteId: string, accountId?: string) => LocalDate
}

/** Containers that are out. */
export interface ContainersOut {
  quantity: number
  /** Where they are; absent for those that the set-up lists as coming back. */
  accountId?: string
  onRoad: boolean
  /** The day on which they came to the account. Absent: not there, or before the records go back. */
  since?: LocalDate
  /** The day on which they are expected back. Absent: nothing says. */
  expectedOn?: LocalDate
  outlook: Outlook
}

/** The containers of a fleet that are not at hand clean or filled. */
export interface FleetContainers extends FleetKey {
  out: ContainersOut[]
  /** Came back so lately that they are being washed. */
  washing: number
  /** Should have been washed by now: nothing has been said of it. */
  dirty: number
  /** What plans count on: back on a day, clean `washDays` later; all clean after today (C1). */
  returns: Announced[]
}

/** The fleets in the order of the set-up, and the days after which each account's containers are expected back. */
export function fleetContainers(
  books: ContainerBooks,
  setup: ContainerSetup,
): { fleets: FleetContainers[]; daysOut: Map<string, number> } {
  const followed = books.accounts.map((each) => ({ ...each, ...followAccount(each.held, each.moves) }))
  const observed = new Map<string, DaysOut[]>()
  for (const { accountId, observed: own } of followed)
    observed.set(accountId, [...(observed.get(accountId) ?? []), ...own])
  const daysOut = new Map<string, number>()
  const daysOf = (accountId: string) => expectedDaysOut(setup.returnDays(accountId), observed.get(accountId) ?? [])
  for (const accountId of observed.keys()) {
    const days = daysOf(accountId)
    if (days !== undefined) daysOut.set(accountId, days)
  }
  const { today } = setup
  const fleets = setup.fleets.map((fleet) => {
    const own = <Each extends FleetKey>(list: readonly Each[]) =>
      list.filter(({ siteId, typeId }) => siteId === fleet.siteId && typeId === fleet.typeId)
    const out = [
      ...own(books.road).map((each) => onRoad(each, daysOf(each.accountId), today)),
      ...own(followed).flatMap(({ accountId, standing }) =>
        standing.map((each) => atAccount(accountId, each, daysOf(accountId), today)),
      ),
      ...announced(fleet, own(books.accounts), books.recordsBegan, today),
    ]
    const standing = own(books.dirty).flatMap(({ held, arrived }) => stillThere(held, arrived))
    return { siteId: fleet.siteId, typeId: fleet.typeId, out, ...returnsOf(fleet, out, standing, books, setup) }
  })
  return { fleets, daysOut }
}

type Fleet = ContainerSetup['fleets'][number]

function onRoad(
  { accountId, quantity, serveOn }: ContainerBooks['road'][number],
  days: number | undefined,
  today: LocalDate,
): ContainersOut {
  const expectedOn = days === undefined ? undefined : addDays(serveOn, days)
  return {
    ...{ accountId, quantity, onRoad: true, outlook: outlookOf(expectedOn, today) },
    ...(expectedOn === undefined ? {} : { expectedOn }),
  }
}

function atAccount(
  accountId: string,
  { since, servedOn, quantity }: ReturnType<typeof followAccount>['standing'][number],
  days: number | undefined,
  today: LocalDate,
): ContainersOut {
  const expectedOn = days === undefined ? undefined : servedOn === undefined ? 'LONG_AGO' : addDays(servedOn, days)
  return {
    ...{ accountId, quantity, onRoad: false, outlook: outlookOf(expectedOn, today) },
    ...(since === undefined ? {} : { since }),
    ...(expectedOn === undefined || expectedOn === 'LONG_AGO' ? {} : { expectedOn }),
  }
}

/** What the set-up lists and has not come: returns from accounts that had none, as far as is known, are of these. */
function announced(
  { announced: lines }: Fleet,
  accounts: ContainerBooks['accounts'],
  recordsBegan: LocalDate | undefined,
  today: LocalDate,
): ContainersOut[] {
  const came = accounts.flatMap(({ moves }) => moves.filter(({ kind }) => kind === 'FOUND'))
  return stillAnnounced(lines, came, recordsBegan ?? today).map(({ on, quantity }) => ({
    ...{ quantity, onRoad: false, expectedOn: on, outlook: outlookOf(on, today) },
  }))
}

function returnsOf(
  { siteId, washDays, announced: lines }: Fleet,
  out: readonly ContainersOut[],
  dirty: readonly Dirty[],
  { recordsBegan }: ContainerBooks,
  { today, nextRouteDay }: ContainerSetup,
): Pick<FleetContainers, 'washing' | 'dirty' | 'returns'> {
  const byDay = new Map<LocalDate, number>()
  const count = (on: LocalDate, quantity: number) => byDay.set(on, (byDay.get(on) ?? 0) + quantity)
  // Lines of a day before the records began were back then: the set-up's `cleanNow` has those that are clean.
  for (const { on, quantity } of lines) if (on < (recordsBegan ?? today)) count(on, quantity)
  // What is out now is clean tomorrow at the earliest; of today's own line in the set-up its `cleanNow` says so already.
  const earliest = addDays(today, 1 - washDays)
  for (const { expectedOn, quantity, accountId, outlook } of out) {
    const on = countedOn(expectedOn, today, nextRouteDay(siteId, accountId))
    const isAsListed = accountId === undefined && outlook === 'DUE'
    if (on !== undefined) count(isAsListed ? on : laterOf(on, earliest), quantity)
  }
  let [washing, due] = [0, 0]
  for (const each of dirty) {
    const clean = cleanFrom(each, washDays)
    if (each.since === undefined || clean === undefined || clean <= today) due += each.quantity
    else {
      washing += each.quantity
      count(each.since, each.quantity)
    }
  }
  const returns = [...byDay].map(([on, quantity]) => ({ on, quantity })).sort((a, b) => (a.on < b.on ? -1 : 1))
  return { washing, dirty: due, returns }
}
