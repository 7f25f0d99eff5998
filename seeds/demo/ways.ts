// Look-ups in the demo: the way from a site to an account, a pack with its beer.
import type { BeerDocument, LocalDate, PackDocument } from '../../src/planner/documents/index.ts'
import { found } from '../generator/demand.ts'
import { DEMO_ACCOUNTS } from './accounts.ts'
import { DEMO_BEERS } from './beers.ts'
import type { SupplyRoute } from './calendar.ts'
import { demoRoutes, demoSites } from './sites.ts'

const accounts = new Map(DEMO_ACCOUNTS.map((account) => [account.id, account]))
const packs = new Map(DEMO_BEERS.flatMap((beer) => beer.packs.map((pack) => [pack.id, { beer, pack }] as const)))

/** How beer comes to an account; every account of the demo has one route. */
export function wayTo(accountId: string, today: LocalDate): SupplyRoute {
  const account = found(accounts, accountId)
  const routes = new Map(demoRoutes(today).map((route) => [route.id, route]))
  const route = found(routes, account.routeIds[0] ?? '')
  const sites = new Map(demoSites(today).map((site) => [site.id, site]))
  return { account, route, site: found(sites, route.siteId) }
}

/** A pack of the demo, with its beer. */
export function packOf(packId: string): { beer: BeerDocument; pack: PackDocument } {
  return found(packs, packId)
}
