// The smallest single reliefs of a line (E1): in the end the amount is known to serve the line and one unit less is known
// not to. Effort is counted in trial placements, never by a clock.
import { localDateOf } from '../calendar/days.ts'
import type { Reason } from '../documents/reason.ts'
import { RELIEF_UNITS } from '../documents/relief-units.ts'
import type { RuleNumber } from '../documents/rule-numbers.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import { batchEarlier, batchReleased, brewsPerDay, transfersPerDay, vesselFree } from './cellar-levers.ts'
import { cutOffLater } from './cut-off-levers.ts'
import { servesOnTime } from './on-time.ts'
import { fewerContainers, serveLater, splitAllowed } from './order-levers.ts'
import { cleanContainers, fillerMinutes, routeLitres, storeLitres } from './packaging-levers.ts'
import type { Lever, LeverMaker } from './relief.ts'

/** Reliefs shown for one line. */
const MOST_RELIEFS = 3

/** Kinds of relief in the order of `RELIEF_UNITS`, each with the rule that must bind alone; without one, always tried. */
const LEVERS: readonly { rule?: RuleNumber; make: LeverMaker }[] = [
  { rule: 'L1', make: fillerMinutes },
  { rule: 'C1', make: cleanContainers },
  { rule: 'D1', make: routeLitres },
  { rule: 'S1', make: storeLitres },
  { rule: 'B6', make: cutOffLater },
  { make: splitAllowed },
  { make: serveLater },
  { make: fewerContainers },
  { rule: 'V1', make: brewsPerDay },
  { rule: 'V11', make: transfersPerDay },
  { rule: 'T1', make: batchEarlier },
  { rule: 'V8', make: batchReleased },
  { rule: 'V3', make: vesselFree },
]

/** Trial placements left to spend. */
export interface Effort {
  trials: number
}

export interface Found {
  rule: RuleNumber
  resource: NonNullable<Reason['resource']>
  relief: NonNullable<Reason['relief']>
  params?: NonNullable<Reason['params']>
}

/**
 * At most three reliefs of a line that is not in the plan and is not served on time by it, the easiest kind first.
 * `alone` names the rules of which one alone, lifted, would serve it. The state is as before afterwards. `complete` is
 * false where the effort ran out before every kind was tried.
 */
export function findReliefs(
  state: State,
  line: LineModel,
  alone: ReadonlySet<RuleNumber>,
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

interface Best {
  lever: Lever
  /** Place of the lever among those of its kind. */
  at: number
  amount: number
  day: number
}

/** The smallest among levers of one kind; among equals the first. Those of which little could do are tried first. */
function smallestOf(state: State, levers: Lever[], effort: Effort): Found | undefined {
  let best: Best | undefined
  const order = [...levers.entries()].sort(([, a], [, b]) => (a.least ?? 1) - (b.least ?? 1))
  for (const [at, lever] of order) {
    const most = best ? Math.min(lever.most, at < best.at ? best.amount : best.amount - 1) : lever.most
    if (most < (lever.least ?? 1)) continue
    const smallest = new Search(state, lever, effort).smallest(most)
    if (smallest) best = { lever, at, ...smallest }
  }
  return best && found(state, best.lever, best.amount, best.day)
}

/** The search for the smallest amount of one lever. */
class Search {
  private readonly state: State
  private readonly lever: Lever
  private readonly effort: Effort
  /** Units that the line needed as it was served in the last try. */
  private needed = 0

  constructor(state: State, lever: Lever, effort: Effort) {
    this.state = state
    this.lever = lever
    this.effort = effort
  }

  /** An amount, at most `most`, that serves the line while one unit less does not, and the last day for it. */
  smallest(most: number): { amount: number; day: number } | undefined {
    if (this.lever.oneByOne) return this.firstOf(most)
    const amount = this.between(most)
    return amount === undefined ? undefined : { amount, day: this.lastDay(amount) }
  }

  /** Does so much of it, from a day on, serve the line? Undefined where the effort is spent. */
  private serves(amount: number, day = element(this.lever.days, 0)): boolean | undefined {
    const { state, lever, effort } = this
    if (effort.trials-- <= 0) return undefined
    const log = new UndoLog(state)
    try {
      const line = lever.pull(log, amount, day)
      if (!line) return false
      this.needed = amount
      return servesOnTime(state, line, () => {
        if (lever.need) this.needed = Math.min(amount, Math.max(1, lever.need()))
      })
    } finally {
      log.undo()
    }
  }

  /** One amount after the other: more is not always better. */
  private firstOf(most: number): { amount: number; day: number } | undefined {
    const { lever } = this
    for (let amount = 1; amount <= most; amount++) {
      if (lever.cannot?.(amount)) continue
      const served = this.serves(amount)
      if (served === undefined) return undefined
      if (served) return { amount, day: element(lever.days, 0) }
    }
    return undefined
  }

  /**
   * Always: `low` does not serve (it was tried, or changes nothing), `high` was seen to. What the line was seen to need is
   * tried next, and whether one unit less would do; else it goes up from below in growing steps, and halves the rest.
   */
  private between(most: number): number | undefined {
    if (!this.serves(most)) return undefined
    const { lever } = this
    let low = (lever.least ?? 1) - 1
    let high = most
    let needed = this.needed
    let close = lever.need !== undefined
    while (high - low > 1) {
      let amount: number
      if (needed < high && needed > low) amount = needed
      else if (close) {
        amount = high - 1
        close = false
      } else amount = high === most && !lever.need ? Math.min(high - 1, Math.max(low + 1, 2 * low)) : (low + high) >> 1
      const served = this.serves(amount)
      if (served === undefined) return undefined
      if (served) {
        high = amount
        needed = this.needed
        close ||= needed < high
      } else low = amount
    }
    return high
  }

  /** The last day from which on the amount still serves the line, and one unit less does not. */
  private lastDay(amount: number): number {
    const { days } = this.lever
    let first = 0
    let after = days.length
    while (after - first > 1) {
      const middle = Math.floor((first + after) / 2)
      if (this.serves(amount, element(days, middle))) first = middle
      else after = middle
    }
    // Later, one unit less must still not do; nothing is never enough.
    if (first > 0 && amount > 1 && this.serves(amount - 1, element(days, first)) !== false) first = 0
    return element(days, first)
  }
}

function found(state: State, lever: Lever, amount: number, day: number): Found {
  const by = lever.by(amount, day)
  const date = by === undefined ? undefined : localDateOf(state.model.today + by)
  const { what, rule, resource } = lever
  return {
    rule,
    resource,
    relief: { what, amount, unit: RELIEF_UNITS[what], ...(date === undefined ? {} : { by: date }) },
    ...(lever.params ? { params: lever.params(amount) } : {}),
  }
}
