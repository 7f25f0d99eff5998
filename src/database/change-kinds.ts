// What can happen to the records, by the names under which the change log has it. Names are never changed; callers branch on them.

/** Every kind of change with what it means. */
export const CHANGE_KINDS = {
  ORDER_PLACED: 'An order came.',
  ORDER_AMENDED: 'An order was changed.',
  ORDER_CANCELLED: 'What was open of an order was withdrawn.',
  RESERVATION_MADE: 'Beer was reserved.',
  RESERVATION_EXTENDED: 'A reservation holds for longer.',
  RESERVATION_CONFIRMED: 'A reservation became an order.',
  RESERVATION_RELEASED: 'A reservation was given back.',
  RESERVATION_EXPIRED: 'The time of a reservation ran out.',
  PROMISE_AT_RISK: 'A promised line is no longer served as promised, or otherwise than was said before.',
  PROMISE_SAFE_AGAIN: 'A promise that was at risk is kept after all.',
  PROMISE_DAY_MOVED: 'A promise is kept, on another day than before.',
  WISH_GAVE_WAY: 'A line without a promise gave way to one with a promise.',
  PLAN_ADOPTED: 'A plan came into force: days on which lines are expected may have moved.',
  PLAN_DISCARDED: 'A draft was discarded.',
  PLAN_FIXED: 'A decision of the plan in force was fixed.',
  PLAN_UNFIXED: 'A decision of the plan in force was let go.',
  FACT_RECORDED: 'Something happened in the cellar or on the road; the fact names what it touched.',
  FACT_CONFIRMED: 'Work that was taken as done was confirmed.',
  FACT_CORRECTED: 'A fact took the place of another one.',
  FACT_WITHDRAWN: 'A fact did not happen.',
  DAYS_ROLLED: 'Days that are over were closed.',
  DISTRIBUTOR_CHANGED: 'The settings of the distributor were changed.',
  SITE_CREATED: 'A site was set up.',
  SITE_CHANGED: 'A site was changed.',
  SITE_RETIRED: 'A site was retired.',
  VESSEL_CREATED: 'A vessel was set up.',
  VESSEL_CHANGED: 'A vessel was changed.',
  VESSEL_RETIRED: 'A vessel was retired.',
  BEER_CREATED: 'A beer was set up.',
  BEER_CHANGED: 'A beer was changed.',
  BEER_RETIRED: 'A beer was retired.',
  PACK_CREATED: 'A pack was set up.',
  PACK_CHANGED: 'A pack was changed.',
  PACK_RETIRED: 'A pack was retired.',
  CONTAINER_TYPE_CREATED: 'A container type was set up.',
  CONTAINER_TYPE_CHANGED: 'A container type was changed.',
  CONTAINER_TYPE_RETIRED: 'A container type was retired.',
  FILLER_CREATED: 'A filler was set up.',
  FILLER_CHANGED: 'A filler was changed.',
  FILLER_RETIRED: 'A filler was retired.',
  FLEET_CREATED: 'A fleet was set up.',
  FLEET_CHANGED: 'A fleet was changed.',
  FLEET_RETIRED: 'A fleet was retired.',
  STORE_CREATED: 'A store was set up.',
  STORE_CHANGED: 'A store was changed.',
  STORE_RETIRED: 'A store was retired.',
  ROUTE_CREATED: 'A route was set up.',
  ROUTE_CHANGED: 'A route was changed.',
  ROUTE_RETIRED: 'A route was retired.',
  ACCOUNT_CREATED: 'An account was set up.',
  ACCOUNT_CHANGED: 'An account was changed.',
  ACCOUNT_RETIRED: 'An account was retired.',
  BATCH_CREATED: 'A batch was entered.',
  BATCH_CHANGED: 'A batch was changed.',
  STOCK_LOT_CREATED: 'A stock lot was entered.',
  STOCK_LOT_CHANGED: 'A stock lot was changed.',
  API_KEY_CREATED: 'A key was made.',
  API_KEY_ROTATED: 'A key got a new secret.',
  API_KEY_REVOKED: 'A key was revoked.',
} as const

export type ChangeKind = keyof typeof CHANGE_KINDS

/** Whether the change log has changes under that name. */
export function isChangeKind(name: string): name is ChangeKind {
  return Object.hasOwn(CHANGE_KINDS, name)
}

export const ALL_CHANGE_KINDS: readonly ChangeKind[] = Object.keys(CHANGE_KINDS).filter(isChangeKind)
