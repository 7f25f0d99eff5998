// A lower bound on a transport problem: lines that take from sources of which there is so much, found by prices. Pure.
import type { LineFacts } from './instance.ts'

/** Where containers of a pack could come from; amounts are containers of a lot, or drawable litres of a batch. */
export interface BoundSource {
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
export interface Ways {
  quantity: number
  unserved: number
  ways: { source: BoundSource; takes: number; cost: number }[]
}

/**
 * Bounds a transport problem from below by prices on what there is: with any price of at least -leftCost for a unit, the
 * lines' least costs at these prices, less the value of all there is, are no more than the cost of any allocation. The
 * prices are raised together first, then one by one, to where the bound is highest.
 */
export function transportBound(lines: readonly Ways[], sources: readonly BoundSource[]): number {
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
