// Accounts and order lines of a generated problem: weekly habits of pubs, mostly a few containers for the weekend.

import type {
  AccountDocument,
  BeerDocument,
  OrderLineDocument,
  PackDocument,
  RouteDocument,
} from '../../src/planner/documents/index.ts'
import { addDays, dayNumber, isoWeekday } from '../../src/planner/documents/index.ts'
import type { Random } from '../random.ts'
import type { ProblemSpec } from './spec.ts'

/** An account, where it is served from, and what it likes to order. */
export interface Customer {
  account: AccountDocument
  siteId: string
  favourites: PackDocument[]
}

/** Accounts enough for the lines of the spec, each with one or two routes and a few favourite packs. */
export function makeCustomers(
  spec: ProblemSpec,
  beers: readonly BeerDocument[],
  homes: ReadonlyMap<string, string[]>,
  routes: readonly RouteDocument[],
  random: Random,
): Customer[] {
  const weeks = spec.horizonDays / 7
  const count = Math.max(2, Math.round(spec.lineCount / Math.max(2, weeks * 1.6)))
  const siteIds = [...new Set(routes.map((route) => route.siteId))]
  return Array.from({ length: count }, (_, index) => {
    const siteId = siteIds[index % siteIds.length]!
    const here = beers.filter((beer) => homes.get(beer.id)?.includes(siteId))
    const packs = here.flatMap((beer) => beer.packs)
    return {
      account: makeAccount(spec, index, routes, siteId, random),
      siteId,
      favourites: random.shuffled(packs).slice(0, random.int(2, 4)),
    }
  })
}

function makeAccount(
  spec: ProblemSpec,
  index: number,
  routes: readonly RouteDocument[],
  siteId: string,
  random: Random,
): AccountDocument {
  const own = random.shuffled(routes.filter((route) => route.siteId === siteId))
  const routeIds = own.slice(0, random.chance(0.3) ? 2 : 1).map((route) => route.id)
  if (random.chance(0.1)) routeIds.push(random.pick(routes).id)
  const ruled = random.chance(spec.accountRulesShare)
  const receives = random.pick([
    [1, 2, 3, 4, 5],
    [1, 2, 3, 4, 5, 6],
    [2, 3, 4],
    [3, 5],
  ])
  const runs = own[0]?.weekdays.map((weekday) => ((weekday - 1 + (own[0]?.transitDays ?? 0)) % 7) + 1) ?? []
  const receivesWeekdays = spec.orderly ? [...new Set([...receives, ...runs])].sort((a, b) => a - b) : receives
  return {
    id: `account-${String(index + 1).padStart(3, '0')}`,
    routeIds: [...new Set(routeIds)],
    ...(ruled && random.chance(0.7) ? { receivesWeekdays } : {}),
    ...(ruled && random.chance(0.5) ? { settleDays: random.int(0, 3) } : {}),
    ...(ruled && random.chance(0.5) ? { minDaysOnSale: random.int(1, 14) } : {}),
    ...(ruled && random.chance(0.5) ? { maxEarlyDays: random.int(spec.orderly ? 6 : 2, 9) } : {}),
    ...(random.chance(spec.returnShare) ? { returnDays: random.int(3, 14) } : {}),
  }
}

interface Wish {
  customer: Customer
  day: number
  packs: { pack: PackDocument; quantity: number }[]
}

/** Exactly `lineCount` order lines, by serve day; the lines of one order share account and serve day. */
export function makeOrderLines(
  spec: ProblemSpec,
  customers: readonly Customer[],
  routes: readonly RouteDocument[],
  random: Random,
): OrderLineDocument[] {
  const wishes = random.shuffled(wishesFor(spec, customers, routes, random))
  const taken: Wish[] = []
  let lines = 0
  for (const wish of wishes) {
    if (lines >= spec.lineCount) break
    const packs = wish.packs.slice(0, spec.lineCount - lines)
    taken.push({ ...wish, packs })
    lines += packs.length
  }
  taken.sort((a, b) => a.day - b.day)
  const digits = Math.max(3, String(taken.length).length)
  return taken.flatMap((wish, index) => {
    const orderId = `o-${String(index + 1).padStart(digits, '0')}`
    const serveOn = addDays(spec.today, wish.day - dayNumber(spec.today))
    const promised = random.chance(spec.promisedShare)
    return wish.packs.map(({ pack, quantity }, line) => ({
      id: `${orderId}/${line + 1}`,
      orderId,
      accountId: wish.customer.account.id,
      packId: pack.id,
      quantity,
      serveOn,
      ...(random.chance(spec.latestShare) ? { latestServeOn: addDays(serveOn, random.int(0, 7)) } : {}),
      ...(promised ? { promisedOn: addDays(serveOn, random.pick([0, 0, 0, 1, 3])) } : {}),
      ...(random.chance(spec.priorityShare) ? { priority: random.pick([1, 2, 3] as const) } : {}),
      ...(random.chance(spec.splittableShare) ? { splittable: true } : {}),
    }))
  })
}

/** At least `lineCount` wished lines: each account orders about once a week for its own weekday. */
function wishesFor(
  spec: ProblemSpec,
  customers: readonly Customer[],
  routes: readonly RouteDocument[],
  random: Random,
): Wish[] {
  const first = dayNumber(spec.today)
  const last = first + spec.horizonDays - 1
  const wishes: Wish[] = []
  let lines = 0
  while (lines < spec.lineCount) {
    for (const customer of customers) {
      const weekday = random.weighted([1, 2, 3, 4, 5, 6, 7], (day) => (day >= 4 && day <= 6 ? 4 : 1))
      const every = random.chance(0.8) ? 7 : 14
      const start = first + ((weekday - isoWeekday(first) + 7) % 7)
      for (let day = start + (random.chance(0.5) ? 0 : every - 7); day <= last; day += every) {
        const favourites = random.shuffled(customer.favourites).slice(0, random.pick([1, 1, 2, 2, 3]))
        const packs = favourites.filter((pack) => !spec.orderly || day >= earliestServe(customer, pack, routes, first))
        if (packs.length === 0) continue
        wishes.push({ customer, day, packs: packs.map((pack) => ({ pack, quantity: quantityOf(spec, random) })) })
        lines += packs.length
      }
    }
  }
  return wishes
}

/** The first day (its number) on which stock that leaves from today on can be served to a customer. */
function earliestServe(
  customer: Customer,
  pack: PackDocument,
  routes: readonly RouteDocument[],
  today: number,
): number {
  const settleDays = customer.account.settleDays ?? pack.settleDays
  const receives = customer.account.receivesWeekdays ?? [1, 2, 3, 4, 5, 6, 7]
  const own = routes.filter((route) => customer.account.routeIds.includes(route.id) && route.siteId === customer.siteId)
  for (let day = today; ; day++) {
    const arrives = own.some(
      (route) => route.weekdays.includes(isoWeekday(day - route.transitDays)) && day - route.transitDays >= today,
    )
    if (arrives && receives.includes(isoWeekday(day))) return day + settleDays
  }
}

/** Mostly one to a handful; one line in six is for a big house or a festival. */
function quantityOf(spec: ProblemSpec, random: Random): number {
  const large = spec.largestLine
  return random.chance(1 / 6)
    ? random.int(Math.ceil(large / 2), large)
    : random.int(1, Math.max(1, Math.ceil(large / 2)))
}
