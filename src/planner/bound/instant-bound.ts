// The bound that is there at once at every size: each order line alone takes the cheapest way that the rules leave it,
// while stock and standing beer go to the lines that gain most by them.
import type { Problem } from '../documents/problem.ts'
import { type Bound, cautious } from './bound.ts'
import { linesSharingDrops } from './demand.ts'
import { type DispatchOption, type Instance, type LineFacts, readInstance } from './instance.ts'
import { withPossibleWays } from './possible.ts'
import {
  BATCH_TOLERANCE_LITRES,
  brewWindow,
  type FillWindow,
  fillingCosts,
  largestOverfill,
  readSupply,
  type Supply,
  standingWindow,
} from './supply.ts'

/** Where containers of a pack could come from; amounts are containers of a lot, or drawable litres of a batch. */
interface BoundSource {
  siteId: string
  /** Amount there is (brewing: unlimited), how much more comparisons forgive, and what each unit costs that is left. */
  amount: number
  forgiven: number
  leftCost: number
  /** Nominal litres of a unit. */
  litresEach: number
  /** How much one container of a pack takes; 0 where it can take none. */
  takes(line: LineFacts): number
  /** Least cost of one container apart from its beer (set-up share) and, for brews, with it. */
  containerCost(line: LineFacts): number
  /** Day on which a container of the pack could be fit to leave, the last one that is up to `dispatchOn`; -1: none. */
  fitBy(line: LineFacts, dispatchOn: number): number
  /** Last day on which such a container may be served, its days on sale taken off. */
  lastServe(line: LineFacts, fit: number): number
}

/** One line's least cost per container from each source that can serve it. */
interface Ways {
  quantity: number
  unserved: number
  ways: { source: BoundSource; takes: number; cost: number }[]
}

/**
 * A lower bound on the cost of every valid plan: for each beer a transport problem between what there is (and what can
 * be brewed, at the least cost of a litre) and the lines, each alone on its filler, route and tank, bounded from below by
 * prices on what there is. Pure, and linear in lines × ways to deliver.
 */
export function instantBound(problem: Problem): Bound {
  const known = readInstance(problem)
  const supply = readSupply(known)
  const instance = withPossibleWays(known, supply)
  const sources = readSources(instance, supply)
  const sharing = linesSharingDrops(instance)
  let value = supply.lostForCertain
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
  return { value: cautious(value), kind: 'PER_LINE' }
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

/**
 * Bounds a transport problem from below by prices on what there is: with any price of at least -leftCost for a unit, the
 * lines' least costs at these prices, less the value of all there is, are no more than the cost of any allocation. The
 * prices are raised together first, then one by one, to where the bound is highest.
 */
function transportBound(lines: readonly Ways[], sources: readonly BoundSource[]): number {
  const limited = sources.filter((source) => Number.isFinite(source.amount))
  const prices = raiseTogether(lines, limited)
  for (let round = 0; round < PRICE_ROUNDS; round++)
    for (const source of limited) prices.set(source, bestPrice(lines, source, prices))
  return boundAt(lines, limited, prices)
}

type Prices = Map<BoundSource, number>

const PRICE_ROUNDS = 3

function priced(way: Ways['ways'][number], prices: Prices): number {
  return way.cost + way.takes * (prices.get(way.source) ?? 0)
}

function boundAt(lines: readonly Ways[], limited: readonly BoundSource[], prices: Prices): number {
  let value = 0
  for (const { quantity, unserved, ways } of lines) {
    let least = unserved
    for (const way of ways) least = Math.min(least, priced(way, prices))
    value += quantity * least
  }
  for (const source of limited) {
    const { amount, forgiven, leftCost } = source
    const price = prices.get(source) ?? 0
    value -= price * amount + (price + leftCost) * forgiven
  }
  return value
}

/**
 * The best prices that lie equally far above what is left costs, by container for lots and by litre for batches: sources
 * that stand in for each other must rise together, or each is passed over as soon as it rises alone.
 */
function raiseTogether(lines: readonly Ways[], limited: readonly BoundSource[]): Prices {
  const at = (raise: number) => new Map(limited.map((one) => [one, raise * one.litresEach - one.leftCost]))
  const value = (raise: number) => boundAt(lines, limited, at(raise))
  // The bound is concave in the raise.
  let low = 0
  let high = Math.max(
    0,
    ...lines.flatMap(({ unserved, ways }) =>
      ways.map(({ source, takes }) => unserved / Math.max(1, takes * source.litresEach)),
    ),
  )
  for (let step = 0; step < 40; step++) {
    const third = (high - low) / 3
    if (value(low + third) < value(high - third)) low += third
    else high -= third
  }
  return at((low + high) / 2)
}

/** The price of a source at which the bound is highest, all other prices as they are. */
function bestPrice(lines: readonly Ways[], source: BoundSource, prices: Prices): number {
  // A line takes from this source as long as its price is below the line's gain over the next best.
  const steps: { at: number; amount: number }[] = []
  for (const line of lines) {
    const way = line.ways.find((one) => one.source === source)
    if (!way || way.takes === 0) continue
    let other = line.unserved
    for (const one of line.ways) if (one !== way) other = Math.min(other, priced(one, prices))
    steps.push({ at: (other - way.cost) / way.takes, amount: line.quantity * way.takes })
  }
  steps.sort((a, b) => b.at - a.at)
  let taken = 0
  for (const { at, amount } of steps) {
    taken += amount
    if (taken > source.amount) return Math.max(-source.leftCost, at)
  }
  return -source.leftCost
}
