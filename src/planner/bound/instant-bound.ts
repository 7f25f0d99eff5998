// The bound that is there at once at every size: each order line alone takes the cheapest way that the rules leave it,
// while stock and standing beer go to the lines that gain most by them.
import { type Bound, cautious } from './bound.ts'
import type { DispatchOption, Instance, LineFacts } from './instance.ts'
import type { BoundPart } from './parts.ts'
import {
  BATCH_TOLERANCE_LITRES,
  brewWindow,
  type FillWindow,
  fillingCosts,
  largestOverfill,
  type Supply,
  standingWindow,
} from './supply.ts'
import { type BoundSource, transportBound, type Ways } from './transport-bound.ts'

/**
 * A lower bound on the cost of every valid plan: for each beer a transport problem between what there is (and what can
 * be brewed, at the least cost of a litre) and the lines, each alone on its filler, route and tank, bounded from below by
 * prices on what there is. Pure, and linear in lines × ways to deliver.
 */
export function instantBound(whole: BoundPart): Bound {
  return { value: cautious(instantValue(whole)), kind: 'PER_LINE' }
}

/** The same of a part, before what tolerances may have added. */
export function instantValue({ instance, supply, sharing, constant }: BoundPart): number {
  const { problem } = instance
  const sources = readSources(instance, supply)
  let value = constant + supply.lostForCertain
  const linesOf = new Map<string, LineFacts[]>()
  for (const line of instance.lines) {
    const { id } = line.facts.beer
    linesOf.set(id, [...(linesOf.get(id) ?? []), line])
  }
  for (const beer of problem.beers) {
    const available = sources.get(beer.id) ?? []
    const ways = (linesOf.get(beer.id) ?? []).map((line) => waysOf(instance, line, available, sharing))
    value += transportBound(ways, available)
  }
  return value
}

/** How much more than alone a container is taken to cost beside other lines, which want the same days. */
const BESIDE_OTHERS = 2

/** The price of a container of a line that several sites reach, for `siteParts`: infinity unless several of them have something for it. */
export function priceOfShared({ instance, supply, sharing }: BoundPart): (line: LineFacts) => number {
  const sources = readSources(instance, supply)
  return (line) => {
    const { ways } = waysOf(instance, line, sources.get(line.facts.beer.id) ?? [], sharing)
    if (new Set(ways.map(({ source }) => source.siteId)).size < 2) return Number.POSITIVE_INFINITY
    return BESIDE_OTHERS * Math.min(...ways.map(({ cost }) => cost))
  }
}

/** The sources of each beer. */
function readSources(instance: Instance, supply: Supply): Map<string, BoundSource[]> {
  const { costs, horizon, problem } = instance
  const sources = new Map<string, BoundSource[]>(problem.beers.map((beer) => [beer.id, []]))
  for (const lot of problem.stock) {
    const facts = instance.pack(lot.packId)
    const fit = Math.max(0, instance.at(lot.readyOn))
    const bestBefore = instance.at(lot.bestBefore)
    sources.get(facts.beer.id)!.push({
      siteId: lot.siteId,
      amount: lot.quantity,
      forgiven: 0,
      litresEach: facts.nominal,
      leftCost: (bestBefore <= horizon - 2 ? costs.dumped : costs.unsold) * facts.nominal,
      takes: (line) => (line.facts === facts ? 1 : 0),
      containerCost: () => 0,
      fitBy: (_, dispatchOn) => (fit <= dispatchOn ? fit : -1),
      lastServe: (line) => bestBefore - line.minDaysOnSale,
    })
  }
  for (const standing of supply.standing) {
    const { batch, beer, siteId } = standing
    // Beer that fills stock counts without its overfill.
    const leftCost = supply.lossPerLitre / largestOverfill(instance, beer)
    // What a set-up loses is dumped, and then not left.
    const least = leastContainerCosts(instance, siteId, batch.litres, instance.costs.dumped - leftCost)
    sources.get(beer.id)!.push({
      siteId,
      amount: batch.litres,
      forgiven: BATCH_TOLERANCE_LITRES,
      litresEach: 1,
      leftCost,
      takes: (line) => (Number.isFinite(least(line)) ? line.facts.drawn : 0),
      containerCost: least,
      fitBy: ({ facts: { pack } }, dispatchOn) =>
        lastFit(instance, siteId, pack.conditioningDays, standingWindow(standing, instance.at, pack), dispatchOn),
      lastServe: shelfLife,
    })
  }
  for (const { siteId, beer, ready, mostDrawable, brewCostPerLitre } of supply.brewable) {
    const least = leastContainerCosts(instance, siteId, mostDrawable, instance.costs.dumped)
    const bright = problem.vessels.some((vessel) => vessel.siteId === siteId && vessel.kind === 'BRIGHT')
    sources.get(beer.id)!.push({
      siteId,
      amount: Number.POSITIVE_INFINITY,
      forgiven: 0,
      litresEach: 1,
      leftCost: 0,
      takes: (line) => (Number.isFinite(least(line)) ? line.facts.drawn : 0),
      containerCost: (line) => least(line) + line.facts.drawn * brewCostPerLitre,
      fitBy: ({ facts: { pack } }, dispatchOn) => {
        if (pack.drawFrom === 'BRIGHT' && !bright) return -1
        const window = brewWindow(beer, pack, { from: ready, to: horizon })
        return lastFit(instance, siteId, pack.conditioningDays, window, dispatchOn)
      },
      lastServe: shelfLife,
    })
  }
  return sources

  function shelfLife({ facts: { pack }, minDaysOnSale }: LineFacts, fit: number): number {
    return fit - pack.conditioningDays + pack.shelfLifeDays - minDaysOnSale
  }
}

/**
 * The least share of a set-up for a container of a line's pack at a site, where a batch has so many litres and one lost
 * at a set-up costs `lossCost`; infinity where no filler there can fill it.
 */
function leastContainerCosts(
  instance: Instance,
  siteId: string,
  litres: number,
  lossCost: number,
): (line: LineFacts) => number {
  const known = new Map<string, number>()
  return ({ facts }) => {
    let least = known.get(facts.pack.id)
    if (least === undefined) {
      const costs = fillingCosts(instance, siteId, facts, litres)
      least = Math.min(
        ...costs.map(({ share, setupCost, setupLitres }) => share * (setupCost + lossCost * setupLitres)),
      )
      known.set(facts.pack.id, least)
    }
    return least
  }
}

/** The fit day of the last fill day in a window that leaves the container fit by its dispatch; -1 where there is none. */
function lastFit(
  instance: Instance,
  siteId: string,
  conditioningDays: number,
  { first, last }: FillWindow,
  dispatchOn: number,
): number {
  const { fillDays } = instance.site(siteId)
  const day = fillDays[upTo(fillDays, Math.min(last, dispatchOn - conditioningDays)) - 1] ?? -1
  return day >= first && day >= 0 ? day + conditioningDays : -1
}

/** How many of the ascending days are not after `last`. */
function upTo(days: readonly number[], last: number): number {
  let low = 0
  let high = days.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (days[middle]! <= last) low = middle + 1
    else high = middle
  }
  return low
}

/** The least cost per container of a line from each source, over all its ways to be delivered. */
function waysOf(
  instance: Instance,
  line: LineFacts,
  available: readonly BoundSource[],
  sharing: (line: LineFacts, dispatchOn: number) => number,
): Ways {
  const { costs } = instance
  const { quantity } = line.line
  const { nominal } = line.facts
  const unserved = line.unservedRate * nominal
  const options = line.options.toSorted((a, b) => a.daysLate - b.daysLate)
  const ways = available.flatMap((source) => {
    const takes = source.takes(line)
    if (takes === 0 && nominal > 0) return []
    let least = Number.POSITIVE_INFINITY
    for (const option of options) {
      if (option.siteId !== source.siteId) continue
      const late = line.lateRate * nominal * option.daysLate
      if (late >= least) break
      const standing = waited(option, source, line)
      if (standing < 0) continue
      const drop = costs.drop / (sharing(line, option.dispatchOn) * quantity)
      least = Math.min(least, late + costs.standing * nominal * standing + drop)
    }
    const cost = least + source.containerCost(line)
    return Number.isFinite(cost) ? [{ source, takes, cost }] : []
  })
  return { quantity, unserved, ways }
}

/** Days that a container of the source stands at least, where a line is served so; negative where it cannot be. */
function waited(option: DispatchOption, source: BoundSource, line: LineFacts): number {
  const fit = source.fitBy(line, option.dispatchOn)
  if (fit < 0 || option.serveOn > source.lastServe(line, fit)) return -1
  return option.serveOn - option.lead - fit
}
