// What the order lines of a generated problem ask for, by site: the load that resources are matched to.

import type {
  AccountDocument,
  BeerDocument,
  ContainerTypeDocument,
  OrderLineDocument,
  PackDocument,
  RouteDocument,
} from '../../src/planner/documents/index.ts'
import { dayNumber } from '../../src/planner/documents/index.ts'

/** One order line with everything that it refers to. `day` counts from today; litres include the overfill. */
export interface DemandLine {
  line: OrderLineDocument
  day: number
  siteId: string
  beer: BeerDocument
  pack: PackDocument
  type: ContainerTypeDocument
  account: AccountDocument
  route: RouteDocument
  litres: number
}

/** The lines, resolved; a line's load is counted at the site of its account's first route. */
export function resolveDemand(
  today: string,
  parts: {
    beers: readonly BeerDocument[]
    containerTypes: readonly ContainerTypeDocument[]
    routes: readonly RouteDocument[]
    accounts: readonly AccountDocument[]
    orderLines: readonly OrderLineDocument[]
  },
): DemandLine[] {
  const packs = new Map(parts.beers.flatMap((beer) => beer.packs.map((pack) => [pack.id, { beer, pack }] as const)))
  const types = new Map(parts.containerTypes.map((type) => [type.id, type]))
  const routes = new Map(parts.routes.map((route) => [route.id, route]))
  const accounts = new Map(parts.accounts.map((account) => [account.id, account]))
  return parts.orderLines.map((line) => {
    const { beer, pack } = found(packs, line.packId)
    const type = found(types, pack.containerTypeId)
    const account = found(accounts, line.accountId)
    const route = found(routes, account.routeIds[0] ?? '')
    const litres = line.quantity * type.nominalLitres * (1 + (type.overfillFraction ?? 0))
    return {
      line,
      day: dayNumber(line.serveOn) - dayNumber(today),
      siteId: route.siteId,
      beer,
      pack,
      type,
      account,
      route,
      litres,
    }
  })
}

/** The element with this key; a missing one is a fault of the generator. */
export function found<T>(map: ReadonlyMap<string, T>, key: string): T {
  const value = map.get(key)
  if (value === undefined) throw new Error(`nothing is called ${key}`)
  return value
}

/** The sum of `of` over a list. */
export function sum<T>(list: readonly T[], of: (element: T) => number): number {
  return list.reduce((total, element) => total + of(element), 0)
}

/** The list by key, keys in the order of their first element. */
export function grouped<T>(list: readonly T[], keyOf: (element: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>()
  for (const element of list) {
    const key = keyOf(element)
    const group = groups.get(key)
    if (group) group.push(element)
    else groups.set(key, [element])
  }
  return groups
}
