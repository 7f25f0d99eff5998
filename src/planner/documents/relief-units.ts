// Kinds of relief: single changes of the problem of which one alone serves a line on time (E1), each in whole units.

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
