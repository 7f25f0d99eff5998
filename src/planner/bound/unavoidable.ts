// What part of every plan's cost is certain, line by line and beer by beer: each line alone, the beer that no line asks for, and
// each beer as if the brewery had no other.
import type { Beer } from '../documents/problem.ts'
import { cautious } from './bound.ts'
import type { LineFacts } from './instance.ts'
import { instantValue } from './instant-bound.ts'
import { type BoundPart, beerParts } from './parts.ts'
import { BATCH_TOLERANCE_LITRES, largestOverfill } from './supply.ts'

/** Lines that are named at most: of more the dearest. */
export const MOST_LINES_NAMED = 50

/** A line that every plan pays for because it is late or not served. */
export type UnavoidableLine = {
  orderLineId: string
  /** Cost of its lateness or of its litres that are not served, whatever else the plan does. */
  cost: number
  /** Days that it is late at least; null where leaving it unserved is the least. */
  daysLate: number | null
}

/** What every plan pays for a beer: `lines` and `left` are parts of `cost`, the rest is brewing, filling, and lines in each other's way. */
export type UnavoidableBeer = {
  beerId: string
  cost: number
  /** Of its lines, each alone. */
  lines: number
  /** Of beer that is there today and more than all lines ask for. */
  left: number
}

/** What no plan costs less than, part by part: the sum of the beers' costs is a lower bound, and the lines' costs are within it. */
export type Unavoidable = {
  /** The dearest first, and no more than `MOST_LINES_NAMED`. */
  lines: UnavoidableLine[]
  /** Those that cost anything, the dearest first. */
  beers: UnavoidableBeer[]
}

/** A plan's cost in parts: `ofBeers` and `together` are its lower bound; with `open` they are its cost. */
export interface CostInParts {
  /** The sum of what every plan pays for each beer. */
  ofBeers: number
  /** What the lower bound has beyond that: what beers cost each other. */
  together: number
  /** What is not proven: it may be saved by another plan, or not. */
  open: number
}

/** The cost of a plan in parts, by its lower bound and what explains that. */
export function costInParts({ beers }: Unavoidable, costTotal: number, lowerBound: number): CostInParts {
  const sum = beers.reduce((all, { cost }) => all + cost, 0)
  const ofBeers = Math.min(lowerBound, sum)
  return { ofBeers, together: lowerBound - ofBeers, open: Math.max(0, costTotal - lowerBound) }
}

/** A beer of a problem that is being bounded: its part, and what is certain of it by now. */
export interface BoundedBeer {
  part: BoundPart
  known: UnavoidableBeer
  lines: UnavoidableLine[]
}

/** What is certain of each beer without a solver. Pure, and as quick as the instant bound. */
export function beersAlone(whole: BoundPart): BoundedBeer[] {
  return beerParts(whole).map(({ beer, part }) => {
    const lines = part.instance.lines.flatMap(lineAlone)
    const served = lines.reduce((sum, { cost }) => sum + cost, 0)
    const left = leftAlone(part, beer)
    const cost = cautious(Math.max(instantValue(part), served + left))
    return { part, lines, known: { beerId: beer.id, cost, lines: cautious(served), left: cautious(left) } }
  })
}

/** What is certain of all beers, as far as it is known. */
export function unavoidableOf(beers: readonly BoundedBeer[]): Unavoidable {
  return {
    lines: beers
      .flatMap(({ lines }) => lines)
      .sort((a, b) => b.cost - a.cost)
      .slice(0, MOST_LINES_NAMED),
    beers: beers
      .map(({ known }) => known)
      .filter(({ cost }) => cost > 0)
      .sort((a, b) => b.cost - a.cost),
  }
}

/** The least that a line's lateness, or what of it is not served, costs in any way to deliver it; nothing where it may be served on time. */
function lineAlone({ line, facts, options, unservedRate, lateRate }: LineFacts): UnavoidableLine[] {
  const litres = line.quantity * facts.nominal
  const daysLate = options.reduce((least, option) => Math.min(least, option.daysLate), Number.POSITIVE_INFINITY)
  const late = Number.isFinite(daysLate) ? lateRate * daysLate : Number.POSITIVE_INFINITY
  const cost = cautious(litres * Math.min(late, unservedRate))
  return cost > 0 ? [{ orderLineId: line.id, cost, daysLate: late <= unservedRate ? daysLate : null }] : []
}

/**
 * The least cost of beer that is there today and that lines do not ask for (V9, S2). Each container that a line asks for is taken from
 * stock or drawn from a batch. The cost is the greater of two at least, each least by itself: that of stock that is left alone, and that
 * with the litres left in batches, which are no fewer than those that lines cannot take.
 */
function leftAlone({ instance, supply }: BoundPart, beer: Beer): number {
  const { costs, horizon, problem } = instance
  const ordered = new Map<string, number>()
  for (const { line } of instance.lines) ordered.set(line.packId, (ordered.get(line.packId) ?? 0) + line.quantity)
  const lossPerLitre = supply.lossPerLitre / largestOverfill(instance, beer)
  let litres = supply.standing.reduce((sum, { batch }) => sum + batch.litres - BATCH_TOLERANCE_LITRES, 0)
  let stock = 0
  let both = 0
  for (const { pack } of beer.packs.map(({ id }) => instance.pack(id))) {
    const { nominal, drawn } = instance.pack(pack.id)
    const lots = problem.stock.filter(({ packId }) => packId === pack.id)
    const held = lots.reduce((sum, { quantity }) => sum + quantity, 0)
    const wanted = ordered.get(pack.id) ?? 0
    const each = lots.map(({ bestBefore }) => (instance.at(bestBefore) <= horizon - 2 ? costs.dumped : costs.unsold))
    const leftCost = nominal * Math.min(...each, Math.max(costs.dumped, costs.unsold))
    stock += leftCost * (held - Math.min(held, wanted))
    both += leftCost * held + Math.min(0, lossPerLitre * drawn - leftCost) * Math.min(held, wanted)
    litres -= wanted * drawn
  }
  return supply.lostForCertain + Math.max(0, stock, both + lossPerLitre * litres)
}
