// Puts a generated problem together: the demand first, then resources that match it, then what stands today.

import type { ContainerTypeDocument, Problem } from '../../src/planner/documents/index.ts'
import { addDays, withDefaults } from '../../src/planner/documents/index.ts'
import { CONTAINER_TYPES } from '../containers.ts'
import { type Random, randomFrom } from '../random.ts'
import { makeBeers } from './beers.ts'
import { resolveDemand } from './demand.ts'
import { makeCustomers, makeOrderLines } from './orders.ts'
import { giveHomes, makeRoutes, makeSites, makeVessels } from './sites.ts'
import { sizeBrewhouses, sizeFillers, sizeFleets, sizeRoutes, sizeStores, sizeVessels } from './sizing.ts'
import type { ProblemSpec } from './spec.ts'
import { makeBatches, makeStock } from './standing.ts'

/** The problem of a spec and a seed. Every part draws from a stream of its own, so that a change in one spares the others. */
export function assemble(spec: ProblemSpec, seed: number): Problem {
  const random = randomFrom(seed)
  const bareSites = makeSites(spec, random.fork('sites'))
  const bareBeers = makeBeers(spec, random.fork('beers'))
  const bareVessels = makeVessels(spec, bareSites, bareBeers, random.fork('vessels'))
  const { beers, homes } = giveHomes(bareBeers, bareSites, bareVessels, random.fork('homes'))
  const bareRoutes = makeRoutes(bareSites, random.fork('routes'))
  const containerTypes = makeContainerTypes(random.fork('containers'))
  const customers = makeCustomers(spec, beers, homes, bareRoutes, random.fork('accounts'))
  const accounts = customers.map((customer) => customer.account)
  const orderLines = makeOrderLines(spec, customers, bareRoutes, random.fork('orders'))
  const demand = resolveDemand(spec.today, { beers, containerTypes, routes: bareRoutes, accounts, orderLines })

  const vessels = sizeVessels(spec, bareVessels, demand, random.fork('capacities'))
  const sites = sizeBrewhouses(spec, bareSites, vessels, demand)
  const stock = makeStock(spec, demand, random.fork('stock'))
  return withDefaults({
    today: spec.today,
    horizonDays: spec.horizonDays,
    sites,
    vessels,
    fillers: sizeFillers(spec, sites, demand, random.fork('fillers')),
    stores: sizeStores(spec, sites, demand),
    fleets: sizeFleets(spec, demand, random.fork('fleets')),
    beers,
    containerTypes,
    routes: sizeRoutes(spec, bareRoutes, demand),
    accounts,
    batches: makeBatches(spec, { sites, vessels, beers, homes, stock, demand }, random.fork('batches')),
    stock,
    orderLines,
  })
}

/** A day of the years 2026 to 2028. */
export function someDay(random: Random): string {
  return addDays('2026-01-01', random.int(0, 3 * 365))
}

function makeContainerTypes(random: Random): ContainerTypeDocument[] {
  return CONTAINER_TYPES.map((type) =>
    random.chance(0.3) ? { ...type, overfillFraction: random.int(1, 3) / 100 } : { ...type },
  )
}
