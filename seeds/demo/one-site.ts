// One site of a scenario by itself: its cellar, the beers brewed there, its routes and the accounts that they serve, with what
// these ordered.
import type { Scenario } from '../../src/records/scenario.ts'

/** The scenario without the other sites; accounts that another site serves too stay, with the routes of this one. */
export function oneSite(scenario: Scenario, siteId: string): Scenario {
  const { problem } = scenario
  const isHere = (thing: { siteId: string }) => thing.siteId === siteId
  const vessels = problem.vessels.filter(isHere)
  const routes = problem.routes.filter(isHere)
  const vesselIds = new Set(vessels.map(({ id }) => id))
  const routeIds = new Set(routes.map(({ id }) => id))
  const beers = problem.beers
    .map((beer) => (beer.vesselIds ? { ...beer, vesselIds: beer.vesselIds.filter((id) => vesselIds.has(id)) } : beer))
    .filter((beer) => beer.vesselIds?.length !== 0)
  const packIds = new Set(beers.flatMap(({ packs }) => packs.map(({ id }) => id)))
  const accounts = problem.accounts
    .map((account) => ({ ...account, routeIds: account.routeIds.filter((id) => routeIds.has(id)) }))
    .filter((account) => account.routeIds.length > 0)
  const accountIds = new Set(accounts.map(({ id }) => id))
  return {
    ...scenario,
    problem: {
      ...problem,
      ...{ sites: problem.sites.filter(({ id }) => id === siteId), vessels, beers, routes, accounts },
      fillers: problem.fillers.filter(isHere),
      stores: problem.stores.filter(isHere),
      fleets: problem.fleets.filter(isHere),
      batches: problem.batches.filter(({ vesselId }) => vesselIds.has(vesselId)),
      stock: problem.stock.filter((lot) => isHere(lot) && packIds.has(lot.packId)),
      orderLines: problem.orderLines.filter(
        ({ accountId, packId }) => accountIds.has(accountId) && packIds.has(packId),
      ),
    },
  }
}
