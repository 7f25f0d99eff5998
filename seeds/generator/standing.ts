// What stands at the sites of a generated problem today: filled stock for the first days, batches at all stages.

import type {
  BatchDocument,
  BeerDocument,
  SiteDocument,
  StockLot,
  VesselDocument,
} from '../../src/planner/documents/index.ts'
import { addDays, instantAt, localDateOf } from '../../src/planner/documents/index.ts'
import { readyDay, readyInstant } from '../instants.ts'
import type { Random } from '../random.ts'
import { stageHours } from './beers.ts'
import { type DemandLine, grouped, sum } from './demand.ts'
import type { ProblemSpec } from './spec.ts'

/**
 * Stock lots, one or two for each site and pack that lines want within the spec's `stockDays`; in an orderly house until
 * so many days after a fill of today could be served.
 */
export function makeStock(spec: ProblemSpec, demand: readonly DemandLine[], random: Random): StockLot[] {
  const soon = demand.filter(({ day, pack }) => {
    const fillToServe = spec.orderly ? pack.conditioningDays + pack.settleDays : 0
    return day < spec.stockDays + fillToServe
  })
  const lots: StockLot[] = []
  for (const lines of grouped(soon, (entry) => `${entry.siteId} ${entry.pack.id}`).values()) {
    const { siteId, pack } = lines[0]!
    let left = sum(lines, (entry) => entry.line.quantity) + random.int(-1, 2)
    while (left > 0) {
      const quantity = lots.length > 0 && random.chance(0.3) ? Math.ceil(left / 2) : left
      const age = pack.conditioningDays + random.int(0, 6) - (random.chance(0.2) ? pack.conditioningDays : 0)
      const filledOn = addDays(spec.today, -age)
      lots.push({
        id: `lot-${String(lots.length + 1).padStart(3, '0')}`,
        siteId,
        packId: pack.id,
        quantity,
        filledOn,
        readyOn: addDays(filledOn, pack.conditioningDays),
        bestBefore: addDays(filledOn, pack.shelfLifeDays),
        quarantined: false,
      })
      left -= quantity
    }
  }
  return lots
}

/**
 * Batches in the spec's share of the fermenters and in some bright vessels, of the beers that are wanted first: the
 * first of a beer is about ready, each later one younger.
 */
export function makeBatches(
  spec: ProblemSpec,
  parts: {
    sites: readonly SiteDocument[]
    vessels: readonly VesselDocument[]
    beers: readonly BeerDocument[]
    homes: ReadonlyMap<string, string[]>
    stock: readonly StockLot[]
    demand: readonly DemandLine[]
  },
  random: Random,
): BatchDocument[] {
  const batches: BatchDocument[] = []
  for (const site of parts.sites) {
    const needs = openNeeds(site, parts)
    const standing = new Map<string, number>()
    const vessels = parts.vessels.filter((vessel) => vessel.siteId === site.id)
    const fermenters = vessels.filter((vessel) => vessel.kind === 'FERMENTER')
    const used = random.shuffled(fermenters).slice(0, Math.round(fermenters.length * spec.standingShare))
    for (const vessel of [...vessels.filter((other) => other.kind === 'BRIGHT' && random.chance(0.4)), ...used]) {
      const bright = vessel.kind === 'BRIGHT'
      const allowed = parts.beers.filter(
        (beer) =>
          parts.homes.get(beer.id)?.includes(site.id) &&
          (beer.vesselIds?.includes(vessel.id) ?? true) &&
          (!bright || beer.packs.some((pack) => pack.drawFrom === 'BRIGHT')),
      )
      if (allowed.length === 0) continue
      const beer = random.weighted(allowed, (other) => Math.max(1, needs.get(other.id) ?? 0) ** 2)
      const before = standing.get(beer.id) ?? 0
      standing.set(beer.id, before + 1)
      const id = `batch-${String(batches.length + 1).padStart(3, '0')}`
      const batch = makeBatch(spec, id, site, vessel, beer, bright ? 0 : before, random)
      needs.set(beer.id, (needs.get(beer.id) ?? 0) - batch.litres)
      batches.push(batch)
    }
  }
  return batches
}

/** Litres of each beer that a site's lines want before a brew of today could serve them, stock taken off. */
function openNeeds(
  site: SiteDocument,
  parts: { beers: readonly BeerDocument[]; stock: readonly StockLot[]; demand: readonly DemandLine[] },
): Map<string, number> {
  const needs = new Map<string, number>()
  for (const beer of parts.beers) {
    const lead = stageHours(beer) / 24 + 6
    const lines = parts.demand.filter(
      (entry) => entry.siteId === site.id && entry.beer.id === beer.id && entry.day < lead,
    )
    const stocked = parts.stock.filter(
      (lot) => lot.siteId === site.id && beer.packs.some((pack) => pack.id === lot.packId),
    )
    const nominal = new Map(parts.demand.map((entry) => [entry.pack.id, entry.type.nominalLitres]))
    const litres =
      sum(lines, (entry) => entry.litres) - sum(stocked, (lot) => lot.quantity * (nominal.get(lot.packId) ?? 0))
    if (litres > 0) needs.set(beer.id, litres)
  }
  return needs
}

function makeBatch(
  spec: ProblemSpec,
  id: string,
  site: SiteDocument,
  vessel: VesselDocument,
  beer: BeerDocument,
  before: number,
  random: Random,
): BatchDocument {
  const stages = Math.ceil(stageHours(beer) / 24)
  // Days from today to the ready day: the first of a beer is ready or nearly so, the next ones follow.
  const readyIn = before === 0 ? random.int(-3, 2) : Math.min(stages, before * random.int(3, 6))
  const bright = vessel.kind === 'BRIGHT'
  const brewOn = addDays(spec.today, (bright ? -random.int(2, 5) : readyIn) - stages)
  const exact = readyInstant(site, beer, brewOn)
  // Yeast does not keep hours: some batches are found ready at another time of the day.
  const readyAt = random.chance(0.5) ? exact : instantAt(readyDay(site, exact) - 1, random.int(0, 1439), site.timeZone)
  const ready = localDateOf(readyDay(site, readyAt))
  const whole = vessel.capacityLitres * random.between(0.8, 1) * (1 - beer.lossFraction)
  const opened = ready < spec.today && random.chance(0.3)
  const part = bright || opened ? random.between(0.3, 0.95) : 1
  const transferredOn = ready < spec.today ? addDays(ready, 1) : spec.today
  return {
    id,
    beerId: beer.id,
    vesselId: vessel.id,
    litres: Math.max(1, Math.round(whole * part)),
    readyAt,
    ...(bright ? { transferredOn } : opened ? { openedOn: addDays(ready, random.int(0, 1)) } : {}),
  }
}
