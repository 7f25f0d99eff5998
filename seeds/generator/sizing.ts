// Capacities of a generated problem, matched to what its order lines ask for: load over capacity is the spec's tightness.

import type {
  FillerDocument,
  FleetDocument,
  RouteDocument,
  SiteDocument,
  Store,
  VesselDocument,
} from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import type { Random } from '../random.ts'
import { stageHours } from './beers.ts'
import { type DemandLine, grouped, sum } from './demand.ts'
import type { ProblemSpec } from './spec.ts'

/** What a real site gets out of its tanks and its fillers at best, beside the ideal without gaps. */
const USABLE_SHARE = 0.8

/** Vessels with capacities in litres: over the horizon the fermenters of a site carry its demand at the spec's tightness. */
export function sizeVessels(
  spec: ProblemSpec,
  vessels: readonly VesselDocument[],
  demand: readonly DemandLine[],
  random: Random,
): VesselDocument[] {
  return vessels.map((vessel) => {
    const lines = demand.filter((entry) => entry.siteId === vessel.siteId)
    const fermenters = vessels.filter((other) => other.siteId === vessel.siteId && other.kind === 'FERMENTER')
    const share = sum(fermenters, (other) => other.capacityLitres)
    const litres = sum(lines, (entry) => entry.litres / (1 - entry.beer.lossFraction))
    const cycles = Math.max(1, spec.horizonDays / cycleDays(lines))
    const each = litres / (cycles * USABLE_SHARE * spec.tightness.tanks * share)
    const largest = Math.max(...fermenters.map((other) => other.capacityLitres))
    // A bright vessel must take all that is left of a batch (V6).
    const relative = vessel.kind === 'BRIGHT' ? largest * random.between(0.7, 1) : vessel.capacityLitres
    const step = each * relative > 500 ? 50 : 10
    const capacityLitres = Math.max(100, Math.ceil((each * relative) / step) * step)
    const least = vessel.kind === 'BRIGHT' ? 0.2 : random.pick([0.3, 0.4, 0.5])
    return { ...vessel, capacityLitres, minFillLitres: Math.round(capacityLitres * least) }
  })
}

/** Days for which a batch keeps its fermenter, on average over the lines: its stages, filling, cleaning. */
function cycleDays(lines: readonly DemandLine[]): number {
  const stages = sum(lines, (entry) => (stageHours(entry.beer) / 24) * entry.litres)
  return (lines.length === 0 ? 10 : stages / sum(lines, (entry) => entry.litres)) + 4
}

/** Sites whose brewhouse makes what the horizon asks for, at the spec's tightness; without one it is generous. */
export function sizeBrewhouses(
  spec: ProblemSpec,
  sites: readonly SiteDocument[],
  vessels: readonly VesselDocument[],
  demand: readonly DemandLine[],
): SiteDocument[] {
  return sites.map((site) => {
    const tanks = vessels.filter((vessel) => vessel.siteId === site.id && vessel.kind === 'FERMENTER')
    const largest = Math.max(...tanks.map((tank) => tank.capacityLitres))
    if (spec.tightness.brewhouse === undefined) return { ...site, brewsPerDay: Math.max(4, tanks.length) }
    const brewLitres = Math.ceil(largest / 20) * 10
    const brews = sum(
      demand.filter((entry) => entry.siteId === site.id),
      (entry) => entry.litres / (1 - entry.beer.lossFraction) / brewLitres,
    )
    const brewDays = (spec.horizonDays * site.brewWeekdays.length) / 7
    const needed = Math.ceil(brews / (brewDays * USABLE_SHARE * spec.tightness.brewhouse))
    return { ...site, brewLitres, brewsPerDay: Math.max(Math.ceil(largest / brewLitres), needed) }
  })
}

/** One or two fillers a site (casks and kegs apart, or one for all), with minutes at the spec's tightness. */
export function sizeFillers(
  spec: ProblemSpec,
  sites: readonly SiteDocument[],
  demand: readonly DemandLine[],
  random: Random,
): FillerDocument[] {
  return sites.flatMap((site, index) => {
    const lines = demand.filter((entry) => entry.siteId === site.id)
    const kinds = random.chance(0.5) ? [['CASK', 'KEG']] : [['CASK'], ['KEG']]
    return kinds.map((serves, number) => {
      const minutesEach: Record<string, number> = {}
      const pace = { pin: 1.25, firkin: random.pick([1.5, 1.75, 2]), kilderkin: 3, 'keg-30': 2.5, 'keg-50': 3.5 }
      for (const [type, minutes] of Object.entries(pace)) {
        if (serves.includes(type.startsWith('keg') ? 'KEG' : 'CASK')) minutesEach[type] = minutes
      }
      const setup = random.pick([10, 15, 20])
      const own = lines.filter((entry) => minutesEach[entry.type.id] !== undefined)
      const each = (entry: DemandLine) => minutesEach[entry.type.id] ?? 0
      // About one set-up for every four lines.
      const load = sum(own, (entry) => entry.line.quantity * each(entry) + setup / 4)
      const fillDays = (spec.horizonDays * site.fillWeekdays.length) / 7
      const largest = Math.max(0, ...own.map((entry) => entry.line.quantity * each(entry)))
      const tightness = spec.tightness.filler
      const minutes = tightness === undefined ? Math.max(480, load) : load / (fillDays * USABLE_SHARE * tightness)
      return {
        id: `filler-${index + 1}-${number + 1}`,
        siteId: site.id,
        minutesPerDay: Math.ceil(Math.max(minutes, setup + 0.6 * largest)),
        setupMinutes: setup,
        minutesEach,
      }
    })
  })
}

/** Fleets for every site and container type in use, about a third of them clean today, the rest on their way back. */
export function sizeFleets(spec: ProblemSpec, demand: readonly DemandLine[], random: Random): FleetDocument[] {
  const tightness = spec.tightness.fleet
  if (tightness === undefined) return []
  const groups = grouped(demand, (entry) => `${entry.siteId} ${entry.type.id}`)
  return [...groups.values()].map((lines) => {
    const washDays = random.int(0, 2)
    const away = (entry: DemandLine) => entry.pack.conditioningDays + entry.pack.settleDays + 4 + washDays
    // A container that never comes back is away for the whole horizon.
    const cycle = (entry: DemandLine) =>
      entry.account.returnDays === undefined
        ? spec.horizonDays
        : Math.min(spec.horizonDays, away(entry) + entry.account.returnDays)
    const total =
      sum(lines, (entry) => (entry.line.quantity * cycle(entry)) / spec.horizonDays) / (USABLE_SHARE * tightness)
    const cleanNow = Math.ceil(total * random.between(0.25, 0.45))
    const span = Math.max(2, Math.min(spec.horizonDays - 1, 25))
    const drawn = Array.from({ length: random.int(2, 6) }, () => random.int(1, span))
    const days = [...new Set(drawn)].sort((a, b) => a - b)
    const quantity = Math.max(1, Math.ceil((total - cleanNow) / days.length))
    return {
      siteId: lines[0]!.siteId,
      containerTypeId: lines[0]!.type.id,
      cleanNow,
      returns: days.map((day) => ({ on: addDays(spec.today, day), quantity })),
      washDays,
    }
  })
}

/** A cold and a warm store for each site, with litres for about five days of demand at the spec's tightness. */
export function sizeStores(spec: ProblemSpec, sites: readonly SiteDocument[], demand: readonly DemandLine[]): Store[] {
  const tightness = spec.tightness.store
  if (tightness === undefined) return []
  return sites.flatMap((site) =>
    (['COLD', 'WARM'] as const).map((climate) => {
      const lines = demand.filter((entry) => entry.siteId === site.id)
      const warm = lines.filter((entry) => entry.pack.conditionIn === 'WARM')
      const own = climate === 'COLD' ? lines : warm
      const perDay = sum(own, (entry) => entry.litres) / spec.horizonDays
      const largest = Math.max(0, ...own.map((entry) => entry.litres))
      return {
        siteId: site.id,
        climate,
        capacityLitres: Math.ceil(Math.max((perDay * 6) / tightness, largest * 1.2) / 10) * 10,
      }
    }),
  )
}

/** Routes with litres a run at the spec's tightness; a single line always fits. */
export function sizeRoutes(
  spec: ProblemSpec,
  routes: readonly RouteDocument[],
  demand: readonly DemandLine[],
): RouteDocument[] {
  const tightness = spec.tightness.route
  if (tightness === undefined) return [...routes]
  return routes.map((route) => {
    const lines = demand.filter((entry) => entry.route.id === route.id)
    const runs = (spec.horizonDays * route.weekdays.length) / 7
    const largest = Math.max(0, ...lines.map((entry) => entry.litres))
    const litres = sum(lines, (entry) => entry.litres) / (runs * 0.7 * tightness)
    return { ...route, capacityLitres: Math.ceil(Math.max(litres, largest, 100) / 10) * 10 }
  })
}
