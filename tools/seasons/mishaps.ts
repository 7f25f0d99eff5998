// What goes wrong in a season, drawn from a seeded stream: how often, and how badly. All figures are from memory, and worse than
// a brewery would like, so that a few weeks meet everything.
import type { Random } from '../../seeds/random.ts'
import { addDays, type LocalDate } from '../../src/planner/documents/index.ts'

/** How often something goes wrong: of each occasion, between 0 and 1. */
export const ODDS = {
  /** A brew gives less than was planned. */
  brewShort: 0.12,
  /** A brew is made a day late. */
  brewLate: 0.06,
  /** A batch that was to be ready soon ferments on, as a reading says; of each such batch and day. */
  fermentsOn: 0.05,
  /** Casks of a fill are spoiled. */
  spoiled: 0.15,
  /** A run fills fewer than planned, and the rest another day. */
  fillCutShort: 0.05,
  /** A van leaves some containers of a line behind. */
  leftBehind: 0.03,
  /** An account refuses what it gets. */
  refused: 0.02,
  /** Containers do not come back on the day on which they were expected; of each account. */
  returnShort: 0.2,
  /** A container that comes back is good for nothing. */
  unfit: 0.01,
  /** A lot is kept back; of each day. */
  lotQuarantined: 0.06,
  /** A lot that was delivered is called back; of each day. */
  lotRecalled: 0.03,
  /** A batch is kept back; of each day. */
  batchQuarantined: 0.03,
  /** A vessel with beer in it fails; of each day. */
  vesselFails: 0.04,
  /** A count finds another number of containers of a lot; of each day. */
  countDiffers: 0.1,
  /** Something that was said turns out to have been otherwise; of each day. */
  saidWrongly: 0.12,
  /** What was done is not said on its day; of each brew, fill day and van. */
  unsaid: 0.2,
  /** The server and everyone who talks to it sleep for three days; of each day. */
  sleeps: 0.02,
} as const

export type Mishap = keyof typeof ODDS

const KINDS = Object.keys(ODDS).filter((kind): kind is Mishap => kind in ODDS)

/** Days within which each kind that must happen is due for the first time. */
const DUE_WITHIN = 11

/** Decides what goes wrong, and remembers which kinds have. */
export class Mishaps {
  /** Kinds that have happened. */
  readonly met = new Set<Mishap>()
  readonly #dueOn: ReadonlyMap<Mishap, LocalDate>

  /** `firstDay` of a season in which every kind must happen: one after the other is due in its first days. Absent: by chance alone. */
  constructor(firstDay?: LocalDate) {
    this.#dueOn = new Map(firstDay ? KINDS.map((kind, n) => [kind, addDays(firstDay, 1 + (n % DUE_WITHIN))]) : [])
  }

  /** Whether it goes wrong on this occasion; the stream moves on by the same each time. */
  strikes(kind: Mishap, random: Random, day: LocalDate): boolean {
    const dueOn = this.#dueOn.get(kind)
    const isDue = dueOn !== undefined && day >= dueOn && !this.met.has(kind)
    const strikes = random.chance(ODDS[kind]) || isDue
    if (strikes) this.met.add(kind)
    return strikes
  }

  /** Kinds that have not happened. */
  missing(): Mishap[] {
    return KINDS.filter((kind) => !this.met.has(kind))
  }
}

/** So many of `quantity` that go wrong: at least one, seldom more than a few. */
export function some(random: Random, quantity: number): number {
  return Math.min(quantity, 1 + Math.floor(random.unit() ** 2 * Math.min(4, quantity)))
}

/** Days for which something lasts. */
export const lasting = (random: Random): number => random.int(1, 6)
