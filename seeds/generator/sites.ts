// Sites, vessels and routes of a generated problem, before their capacities are matched to the demand (sizing.ts).

import type { BeerDocument, RouteDocument, SiteDocument, VesselDocument } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import type { Random } from '../random.ts'
import type { ProblemSpec } from './spec.ts'

/** The sites, one for each zone of the spec; brewhouses are generous until they are sized. */
export function makeSites(spec: ProblemSpec, random: Random): SiteDocument[] {
  return spec.timeZones.map((timeZone, index) => ({
    id: `site-${index + 1}`,
    timeZone,
    brewWeekdays: random.pick([
      [1, 2, 3, 4],
      [1, 2, 3, 4, 5],
      [1, 3, 5],
    ]),
    fillWeekdays: random.pick([
      [1, 2, 3, 4, 5],
      [1, 2, 3, 4, 5],
      [1, 2, 4, 5],
    ]),
    ...(random.chance(0.2) ? { closedOn: [addDays(spec.today, random.int(0, spec.horizonDays - 1))] } : {}),
    brewsPerDay: 4,
    brewEnds: random.pick(['15:00', '16:30', '18:00']),
    fillStarts: random.pick(['07:00', '08:00', '09:30']),
  }))
}

/**
 * The vessels, spread evenly over the sites; one in four is bright where beers need it (at least one a site, if the
 * site has two vessels). Capacities are relative sizes around 1 until they are sized.
 */
export function makeVessels(
  spec: ProblemSpec,
  sites: readonly SiteDocument[],
  beers: readonly BeerDocument[],
  random: Random,
): VesselDocument[] {
  const needsBright = beers.some((beer) => beer.packs.some((pack) => pack.drawFrom === 'BRIGHT'))
  const vessels: VesselDocument[] = []
  for (const [index, site] of sites.entries()) {
    const here = Math.max(1, Math.floor((spec.vesselCount + sites.length - 1 - index) / sites.length))
    const bright = needsBright && here > 1 ? Math.max(1, Math.round(here / 4)) : 0
    for (let number = 1; number <= here; number++) {
      const isBright = number > here - bright
      vessels.push({
        id: `${isBright ? 'bright' : 'tank'}-${index + 1}-${number}`,
        siteId: site.id,
        kind: isBright ? 'BRIGHT' : 'FERMENTER',
        capacityLitres: random.pick([0.6, 0.8, 1, 1, 1.3, 1.6]),
        minFillLitres: 0,
        turnaroundDays: random.int(0, 2),
      })
    }
  }
  return vessels
}

/** One to three routes for each site. */
export function makeRoutes(sites: readonly SiteDocument[], random: Random): RouteDocument[] {
  return sites.flatMap((site, index) =>
    Array.from({ length: random.int(1, 3) }, (_, number) => ({
      id: `route-${index + 1}-${number + 1}`,
      siteId: site.id,
      weekdays: random.pick([
        [1, 2, 3, 4, 5],
        [1, 3, 5],
        [2, 4],
        [2, 5],
        [3, 4],
        [1, 4],
      ]),
      transitDays: random.pick([0, 0, 0, 1, 2]),
    })),
  )
}

/**
 * At which sites each beer is brewed: with several sites most beers have one home, some two; every site gets one.
 * Beers with a home name its vessels in `vesselIds`, so that the result is the beers with their homes.
 */
export function giveHomes(
  beers: readonly BeerDocument[],
  sites: readonly SiteDocument[],
  vessels: readonly VesselDocument[],
  random: Random,
): { beers: BeerDocument[]; homes: Map<string, string[]> } {
  const homes = new Map<string, string[]>()
  const placed = beers.map((beer, index) => {
    const first = sites[index % sites.length]!
    const second = random.pick(sites)
    // With fewer beers than sites a beer is at home everywhere.
    const at = beers.length < sites.length ? sites : random.chance(0.7) ? [first] : [...new Set([first, second])]
    homes.set(
      beer.id,
      at.map((site) => site.id),
    )
    const allowed = vessels.filter((vessel) => at.some((site) => site.id === vessel.siteId))
    const some = random.chance(0.2)
      ? allowed.filter((vessel) => vessel.kind === 'BRIGHT' || random.chance(0.7))
      : allowed
    const brewable = at.every((site) => some.some((vessel) => vessel.siteId === site.id && vessel.kind === 'FERMENTER'))
    const useful = brewable ? some : allowed
    return useful.length === vessels.length ? beer : { ...beer, vesselIds: useful.map((vessel) => vessel.id) }
  })
  return { beers: placed, homes }
}
