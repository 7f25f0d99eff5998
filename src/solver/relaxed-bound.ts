// Lower bounds that need the solver: the aggregated relaxation, on a worker thread and within a time limit.

import {
  type Bound,
  type BoundedBeer,
  type BoundKind,
  type BoundPart,
  betterBound,
  cautious,
  instantBound,
  instantValue,
  priceOfShared,
  relaxationOf,
  safeDualBound,
  siteParts,
} from '../planner/index.ts'
import { type SolverThread, solveLinear } from './solve-linear.ts'

export interface RelaxedOptions {
  /** Seconds that the solver may take. */
  seconds: number
  /** Whole brews: worth it up to about 100 lines. */
  wholeBrews: boolean
  /** A bound that is known; the bound per line unless given. */
  known?: Bound
  /** Hears of better bounds while whole brews are solved. */
  onBound?: (bound: Bound) => void
  /** The solver's thread; one for this model alone unless given. */
  solver?: Pick<SolverThread, 'solve'>
}

/**
 * A lower bound on the cost of every valid plan, found within about `seconds`: by the aggregated relaxation, with whole
 * brews where asked for. Never worse than the one that is known, which it falls back to.
 */
export async function relaxedBound(
  whole: BoundPart,
  { seconds, wholeBrews, known, onBound, solver = { solve: solveLinear } }: RelaxedOptions,
): Promise<Bound> {
  const before = known ?? instantBound(whole)
  const model = relaxationOf(whole, { wholeBrews })
  const kind = wholeBrews ? 'AGGREGATED_WHOLE_BREWS' : 'AGGREGATED'
  const atLeast = (value: number) => betterBound(before, { value: cautious(value), kind })
  const result = await solver.solve(model, {
    seconds,
    onBound: (value) => {
      const better = atLeast(value)
      if (better !== before) onBound?.(better)
    },
  })
  // Of a linear model the multipliers are taken, not the solver's word; they count even if it was stopped.
  return atLeast(result.rowDuals ? safeDualBound(model, result.rowDuals) : result.bound)
}

/** How much longer than its time the solver may take of a part: a thread that is busy looks at no clock. */
const OVERRUN_SECONDS = 0.5
/** Relative gap at which the model of a part with whole brews counts as solved. */
const PART_GAP = 0.002
/** Most of what is left of the time that one beer takes; one that is solved sooner leaves it to the others. */
const MOST_SHARE = 0.5
/** Seconds of a beer below which its model is not begun: the solver takes as long to start. */
const LEAST_SHARE_SECONDS = 0.3

/** Most of what is left of the time that one site takes with whole brews, and seconds of it below which its model is not begun. */
const MOST_SHARE_OF_A_SITE = 0.75
const LEAST_SECONDS_OF_A_SITE = 3
/** Days of a bucket there: of two days most of what whole brews add is found in half the time that it takes day by day. */
const BUCKET_DAYS_OF_A_SITE = 2

/** A site of a large problem with what it costs at least, as far as that is known. */
interface BoundedSite {
  part: BoundPart
  value: number
}

export interface SitesOptions {
  seconds: number
  known: Bound
  onBound: (bound: Bound) => void
  solver?: Pick<SolverThread, 'solve'>
}

/**
 * Lower bounds on the cost of every valid plan of a large problem, within about `seconds`: the sum over its sites of what each costs at
 * least, by the aggregated relaxation where there was time for it, else with each line alone; then with whole brews, the site that costs most first.
 * `onBound` hears of each that is better.
 */
export async function boundBySite(
  whole: BoundPart,
  { seconds, known, onBound, solver = { solve: solveLinear } }: SitesOptions,
): Promise<Bound> {
  const started = performance.now()
  const left = () => seconds - (performance.now() - started) / 1000
  const sites = siteParts(whole, priceOfShared(whole)).map((part): BoundedSite => ({ part, value: instantValue(part) }))
  let best = known
  const hear = (site: BoundedSite, value: number, kind: BoundKind) => {
    site.value = Math.max(site.value, value)
    const sum = cautious(sites.reduce((total, each) => total + each.value, 0))
    const better = betterBound(best, { value: sum, kind })
    if (better !== best) onBound(better)
    best = better
  }
  const bySize = sites.toSorted((a, b) => a.part.instance.lines.length - b.part.instance.lines.length)
  for (const site of bySize) {
    if (left() <= 0) break
    const model = relaxationOf(site.part, { wholeBrews: false })
    if (left() <= 0) break
    // A site at which nothing can be done has a model without rows, which HiGHS does not solve.
    const { rowDuals } =
      model.rowCount === 0
        ? { rowDuals: new Float64Array() }
        : await solver.solve(model, { seconds: left(), overrunSeconds: OVERRUN_SECONDS })
    hear(site, rowDuals ? safeDualBound(model, rowDuals) : site.value, 'AGGREGATED')
  }
  const byCost = sites.toSorted((a, b) => b.value - a.value)
  const each = { mostShare: MOST_SHARE_OF_A_SITE, leastSeconds: LEAST_SECONDS_OF_A_SITE }
  await wholeBrewsInTurn(byCost, { left, ...each, leastBucketDays: BUCKET_DAYS_OF_A_SITE, solver }, (site, value) =>
    hear(site, value, 'AGGREGATED_WHOLE_BREWS'),
  )
  return best
}

interface InTurn {
  /** Seconds that are left of those of all parts. */
  left: () => number
  /** Most of what is left that one part takes, but for the last, and seconds of it below which its model is not begun. */
  mostShare: number
  leastSeconds: number
  leastBucketDays?: number
  solver: Pick<SolverThread, 'solve'>
}

/** Solves parts with whole brews one after the other, within the time that is left; `hear` gets each better bound of a part. */
async function wholeBrewsInTurn<Bounded extends { part: BoundPart }>(
  inTurn: readonly Bounded[],
  { left, mostShare, leastSeconds, leastBucketDays, solver }: InTurn,
  hear: (bounded: Bounded, bound: number) => void,
): Promise<void> {
  for (const [index, bounded] of inTurn.entries()) {
    const share = index === inTurn.length - 1 ? left() : mostShare * left()
    if (share <= leastSeconds) break
    const model = relaxationOf(bounded.part, { wholeBrews: true, leastBucketDays })
    if (model.rowCount === 0) continue
    const { bound } = await solver.solve(model, {
      seconds: Math.min(share, left()),
      overrunSeconds: OVERRUN_SECONDS,
      gap: PART_GAP,
      onBound: (better) => hear(bounded, better),
    })
    hear(bounded, bound)
  }
}

export interface BeersOptions {
  seconds: number
  before: Bound
  solver: Pick<SolverThread, 'solve'>
  onBound: (bound: Bound) => void
}

/**
 * A lower bound on the cost of every valid plan, within about `seconds`: the sum over the beers of what each costs at least as if there
 * were no other, with whole brews and lines. Those of few lines come first; what is found of each goes into `known` of the beers. Never
 * worse than `before`. `onBound` hears the best after each report of the solver.
 */
export async function boundByBeer(
  beers: readonly BoundedBeer[],
  { seconds, before, solver, onBound }: BeersOptions,
): Promise<Bound> {
  const started = performance.now()
  const left = () => seconds - (performance.now() - started) / 1000
  const inTurn = beers.toSorted((a, b) => a.part.instance.lines.length - b.part.instance.lines.length)
  let best = before
  const each = { mostShare: MOST_SHARE, leastSeconds: LEAST_SHARE_SECONDS }
  await wholeBrewsInTurn(inTurn, { left, ...each, solver }, ({ known }, bound) => {
    known.cost = Math.max(known.cost, cautious(bound))
    const value = beers.reduce((sum, one) => sum + one.known.cost, 0)
    best = betterBound(best, { value, kind: 'PER_BEER' })
    onBound(best)
  })
  return best
}
