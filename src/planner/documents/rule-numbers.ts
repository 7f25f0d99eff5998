// The numbers of the planning rules as a type, each with what it says in a few words; the page of the rules has the whole.

/** Every rule by its number, in the order of the page. A number never changes and is never used twice. */
export const RULE_TITLES = {
  T1: 'stages of a batch and its ready day',
  T2: 'working days of sites, routes and accounts',
  T3: 'spans count calendar days',
  T4: 'order of work within a day',
  T5: 'days of the horizon',
  B1: 'arrival in time to settle, and not too early',
  B2: 'dispatch on a route of the account',
  B3: 'fit to leave by the day of dispatch',
  B4: 'shelf life and days on sale',
  B5: 'a day on which the line could be filled',
  B6: "the route's cut-off for orders",
  V1: 'brews a day',
  V2: 'volume of a brew, and vessels that the beer may use',
  V3: 'one batch at a time in a vessel that is in service',
  V4: 'ready beer, drawn from the vessel that the pack needs',
  V5: 'a vessel emptied by its last day',
  V6: 'transfers move all that is left, once',
  V7: 'live yeast for priming',
  V8: 'quarantine',
  V9: 'all beer accounted for',
  V10: 'days between first and last draw',
  V11: 'transfers a day',
  L1: 'minutes of a filler',
  L2: 'overfill',
  L3: 'whole containers, one run for each batch, filler, day and pack',
  L4: 'washing a filler between groups of beers',
  C1: 'clean containers',
  S1: 'room in a store',
  S2: 'containers past their best before',
  D1: 'load of a route',
  A1: 'the right containers from the right site',
  A2: 'no more from a run or a lot than it has',
  A3: 'whole lines',
  F1: 'frozen and fixed decisions',
  F2: 'promises',
  E1: 'late and unserved lines explained',
} as const

export type RuleNumber = keyof typeof RULE_TITLES

export const RULE_NUMBERS = Object.keys(RULE_TITLES) as readonly RuleNumber[]

/** What a reason names: the rule that binds, or `COST` where the rules would allow it and it would cost more. */
export type ReasonRule = RuleNumber | 'COST'

export const REASON_RULES = [...RULE_NUMBERS, 'COST'] as const satisfies readonly ReasonRule[]
