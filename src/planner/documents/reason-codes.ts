// What a reason can say: each code with the params that it may carry. The words are made of these at the edge (src/words).

/**
 * The codes, each with its params: an id under a name that ends in `Id`, else a number. A param may be absent in reasons that were
 * recorded before it was. Days are in `from` and `to`, what is short or in the way is in `resource`.
 */
export const REASON_PARAMS = {
  // ---- why a line is late or not served: what binds it
  DAYS_FROZEN: [],
  PROMISE_NOT_FORWARD: ['accountId'],
  NOT_READY_IN_TIME: ['beerId'],
  BEER_QUARANTINED: ['beerId'],
  NOT_FIT_FOR_PRIMING: ['packId'],
  NO_BREW_LEFT: [],
  NO_TRANSFER_LEFT: [],
  NO_VESSEL_FREE: ['beerId'],
  NO_STORE_ROOM: [],
  NO_ROUTE_ROOM: [],
  AFTER_CUT_OFF: [],
  NO_CLEAN_CONTAINERS: ['containerTypeId'],
  NO_MINUTES_TO_WASH: [],
  NO_FILLER_MINUTES: [],
  ON_NO_ROUTE: ['accountId'],
  NO_ROUTE_IN_TIME: ['accountId'],
  NO_DAY_TO_FILL: ['packId'],
  STOCK_IS_SHORT: ['packId'],
  NO_FILLER_FILLS_IT: ['containerTypeId'],
  BEER_SOLD_OUT: ['beerId'],
  ASKS_TOO_MUCH: [],
  NO_DAYS_ON_SALE: ['packId'],
  DAYS_DO_NOT_MEET: ['packId'],
  COSTS_MORE: [],
  // ---- what would help
  /** Says a relief and nothing else. */
  RELIEF_FOUND: [],
  /** Every kind of relief was tried. */
  NO_RELIEF_FOUND: [],
  /** The tries ran out before every kind of relief was tried. */
  NO_RELIEF_IN_TRIES: [],
  RELIEFS_NOT_SOUGHT: [],
  // ---- why a decision of the plan in force could not stay
  VESSEL_GONE: [],
  BEER_GONE: [],
  PACK_GONE: [],
  VESSEL_NOT_ALLOWED: ['beerId'],
  VOLUME_OUT_OF_RANGE: ['brewId', 'litres', 'least', 'most'],
  SITE_DOES_NOT_BREW: [],
  SITE_DOES_NOT_FILL: [],
  SITE_DOES_NOT_MOVE: [],
  BREWS_TAKEN: ['most'],
  TRANSFERS_TAKEN: ['most'],
  FILLER_CANNOT_FILL: [],
  FILLER_NOT_WASHED: [],
  FILLER_BUSY: ['spare', 'work'],
  BATCH_TOO_SMALL: ['quantity', 'packId'],
  SOURCE_LOST: [],
  NOT_A_BRIGHT_VESSEL: [],
  MOVED_ALREADY: [],
  TOO_LITTLE_TO_MOVE: ['left', 'wanted'],
  CONTAINERS_SHORT: [],
  STORE_FULL: [],
  BATCH_QUARANTINED: [],
  NOT_READY: [],
  UNFIT_FOR_PRIMING: [],
  PRIMING_WINDOW_OVER: [],
  IN_BRIGHT_VESSEL: [],
  NOT_MOVED: [],
  MUST_BE_EMPTY: [],
  VESSEL_OUT_OF_SERVICE: [],
  VESSEL_NOT_YET_THERE: [],
  VESSEL_TAKEN: [],
  /** It could have stayed; the plan has it otherwise, or not at all. */
  CHEAPER_OTHERWISE: [],
  CHEAPER_WITHOUT: [],
  // ---- from elsewhere
  /** The words of a reason that the planner did not make, or made before reasons had codes. */
  AS_RECORDED: ['words'],
} as const satisfies Readonly<Record<string, readonly string[]>>

export type ReasonCode = keyof typeof REASON_PARAMS

export const REASON_CODES = Object.keys(REASON_PARAMS) as readonly ReasonCode[]
