// What a relief is: one change of the problem that, alone, serves a line on time (E1). Codes, units, and how the search
// and the problem document name the same thing.
import type { Reason } from '../documents/reason.ts'
import type { RuleNumber } from '../documents/rule-numbers.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'

/**
 * Kinds of relief, the easiest for a brewery first: what it can do itself, then what the account must agree to, then
 * what costs a vessel or a brewer's judgement. Each is counted in whole units.
 */
export const RELIEF_UNITS = {
  /** More minutes of a filler on the day `by`. */
  FILLER_MINUTES: 'MINUTE',
  /** More clean containers of a type at a site from the day `by` on. */
  CLEAN_CONTAINERS: 'CONTAINER',
  /** A larger load of a route, every day that it runs; it is needed on the day `by`. */
  ROUTE_LITRES: 'LITRE',
  /** A larger store. */
  STORE_LITRES: 'LITRE',
  /** A route's cut-off so many minutes later, every day that it runs; past the end of the day of dispatch, no cut-off. */
  CUT_OFF_LATER: 'MINUTE',
  /** The line may go in two deliveries (A3). */
  SPLIT_ALLOWED: 'PERMISSION',
  /** The line is asked for, and if promised, promised, so many days later: on `by`. */
  SERVE_DAYS_LATER: 'DAY',
  /** The line asks for so many containers less. */
  FEWER_CONTAINERS: 'CONTAINER',
  /** More brews a day at a site, every day. */
  BREWS_PER_DAY: 'BREW',
  /** More transfers a day at a site, every day. */
  TRANSFERS_PER_DAY: 'TRANSFER',
  /** A batch that stands in a fermenter is ready so many days earlier: on `by`. */
  BATCH_READY_EARLIER: 'DAY',
  /** A quarantined batch is released today. */
  BATCH_RELEASED: 'BATCH',
  /** One more vessel like the given one, free from the day `by` on, the latest day that helps. */
  VESSEL_FREE: 'VESSEL',
} as const

export type ReliefCode = keyof typeof RELIEF_UNITS
export const RELIEF_CODES = Object.keys(RELIEF_UNITS) as readonly ReliefCode[]

/** A change that can be made in the state by the unit, and taken back. Days are days after today. */
export interface Lever {
  what: ReliefCode
  /** The binding rule that it answers. */
  rule: RuleNumber
  resource: NonNullable<Reason['resource']>
  /** Days from which on it can be had, first to last: the smallest amount is found for the first, then the latest day kept. */
  days: number[]
  /** Most units worth trying. */
  most: number
  /** With fewer units than these nothing at all would change for the line; 1 where nothing is known. */
  least?: number
  /** Of the units that were given, how many the line needs as it is served; asked while it is in the plan. */
  need?: () => number
  /** Is it known, without a try, that so many units do not serve the line? */
  cannot?: (amount: number) => boolean
  /** More is not always better: try one unit after the other. */
  oneByOne?: boolean
  /**
   * Makes the change: the line to be served by it, and how to take it back; undefined where the plan as it stands
   * would not survive the change.
   */
  pull: (amount: number, day: number) => { line: LineModel; undo: () => void } | undefined
  /** The day to tell, from the amount and the day that were found; undefined where no day matters. */
  by: (amount: number, day: number) => number | undefined
  /** What would help, in a brewer's words; ends without a full stop. */
  words: (amount: number, by: string) => string
}

/** Offers levers for a line; none where the kind of relief means nothing to it. */
export type LeverMaker = (state: State, line: LineModel) => Lever[]

/** Name of a site's fleet of a container type, or of its store of a climate, in `Reason.resource`. */
export function atSite(siteId: string, what: string): string {
  return `${siteId}/${what}`
}

/** `amount` of `thing`, in the plural where it is not one. */
export function counted(amount: number, thing: string, things = `${thing}s`): string {
  return `${amount} ${amount === 1 ? thing : things}`
}
