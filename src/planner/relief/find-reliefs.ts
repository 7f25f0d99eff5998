// The smallest single reliefs of a line (E1): the smallest amount by doubling and halving, so that in the end the amount
// is known to serve the line and one unit less is known not to. Effort is counted in trial placements, never by a clock.
import { dayWords, localDateOf } from '../days.ts'
import type { Reason } from '../problem.ts'
import type { LineModel } from '../search/model.ts'
import type { State } from '../search/state.ts'
import { batchEarlier, batchReleased, brewsPerDay, vesselFree } from './cellar-levers.ts'
import { servesOnTime } from './on-time.ts'
import { fewerContainers, serveLater, splitAllowed } from './order-levers.ts'
import { cleanContainers, fillerMinutes, routeLitres, storeLitres } from './packaging-levers.ts'
import { type Lever, type LeverMaker, RELIEF_UNITS } from './relief.ts'

/** Reliefs told for one line. */
const MOST_RELIEFS = 3

/** Kinds of relief in the order of `RELIEF_UNITS`, each with the rule that must bind alone; without one, always tried. */
const LEVERS: readonly { rule?: string; make: LeverMaker }[] = [
  { rule: 'L1', make: fillerMinutes },
  { rule: 'C1', make: cleanContainers },
  { rule: 'D1', make: routeLitres },
  { rule: 'S1', make: storeLitres },
  { make: splitAllowed },
  { make: serveLater },
  { make: fewerContainers },
  { rule: 'V1', make: brewsPerDay },
  { rule: 'T1', make: batchEarlier },
  { rule: 'V8', make: batchReleased },
  { rule: 'V3', make: vesselFree },
]

/** Trial placements left to spend. */
export interface Effort {
  trials: number
}

export interface Found {
  rule: string
  resource: NonNullable<Reason['resource']>
  relief: NonNullable<Reason['relief']>
  words: string
}

/**
 * At most three reliefs of a line that is not in the plan and is not served on time by it, the easiest kind first.
 * `alone` names the rules of which one alone, lifted, would serve it. The state is as before afterwards. `complete` is
 * false where the effort ran out before every kind was tried.
 */
export function findReliefs(
  state: State,
  line: LineModel,
  alone: ReadonlySet<string>,
  effort: Effort,
): { found: Found[]; complete: boolean } {
  const found: Found[] = []
  for (const { rule, make } of LEVERS) {
    if (found.length >= MOST_RELIEFS) break
    if (rule !== undefined && !alone.has(rule)) continue
    const best = smallestOf(state, make(state, line), effort)
    if (best) found.push(best)
    if (effort.trials <= 0) return { found, complete: false }
  }
  return { found, complete: true }
}

/** The smallest among levers of one kind; among equals the first. */
function smallestOf(state: State, levers: Lever[], effort: Effort): Found | undefined {
  let best: { lever: Lever; amount: number; day: number } | undefined
  for (const lever of levers) {
    const most = best ? Math.min(lever.most, best.amount - 1) : lever.most
    const smallest = most > 0 ? smallestAmount(state, lever, most, effort) : undefined
    if (smallest) best = { lever, ...smallest }
  }
  return best && told(state, best.lever, best.amount, best.day)
}

function smallestAmount(
  state: State,
  lever: Lever,
  most: number,
  effort: Effort,
): { amount: number; day: number } | undefined {
  const day = lever.days[0]
  const serves = (amount: number, from: number): boolean | undefined => {
    if (effort.trials-- <= 0) return undefined
    const pulled = lever.pull(amount, from)
    if (!pulled) return false
    const served = servesOnTime(state, pulled.line)
    pulled.undo()
    return served
  }
  if (lever.oneByOne) {
    for (let amount = 1; amount <= most; amount++) {
      const served = serves(amount, day)
      if (served === undefined) return undefined
      if (served) return { amount, day }
    }
    return undefined
  }
  if (most > 1 && !serves(most, day)) return undefined
  // Always: `low` does not serve, `high` does.
  let low = 0
  let high = most
  for (let step = 1; step < most; step *= 2) {
    const served = serves(step, day)
    if (served === undefined) return undefined
    if (served) {
      high = step
      break
    }
    low = step
  }
  if (most === 1 && !serves(1, day)) return undefined
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    const served = serves(middle, day)
    if (served === undefined) return undefined
    if (served) high = middle
    else low = middle
  }
  const amount = high
  let first = 0
  let after = lever.days.length
  while (after - first > 1) {
    const middle = Math.floor((first + after) / 2)
    if (serves(amount, lever.days[middle])) first = middle
    else after = middle
  }
  // Later, one unit less must still not do; nothing is never enough.
  if (first > 0 && amount > 1 && serves(amount - 1, lever.days[first]) !== false) first = 0
  return { amount, day: lever.days[first] }
}

function told(state: State, lever: Lever, amount: number, day: number): Found {
  const by = lever.by(amount, day)
  const date = by === undefined ? undefined : localDateOf(state.model.today + by)
  const { what, rule, resource } = lever
  return {
    rule,
    resource,
    relief: { what, amount, unit: RELIEF_UNITS[what], ...(date === undefined ? {} : { by: date }) },
    words: lever.words(amount, by === undefined ? '' : dayWords(state.model.today + by)),
  }
}
