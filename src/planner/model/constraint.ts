// What a constraint of a rule is: questions that the search asks before it decides, and changes that it follows.
import type { RuleNumber } from '../documents/rule-numbers.ts'
import type { Batch, Transfer } from './batch.ts'
import type { BeerModel, Model, PackModel, SiteModel, VesselModel } from './model.ts'
import type { Washing } from './washing.ts'

/** Days after today, both included; none where `to` is before `from`. */
export interface Days {
  from: number
  to: number
}

/** Narrows days to those up to one. Infinity, which many limits are, never enters the object: it stays one of small integers. */
export function endBy(days: Days, last: number): void {
  if (last < days.to) days.to = last
}

/** Narrows days to those from one on. */
export function beginFrom(days: Days, first: number): void {
  if (first > days.from) days.from = first
}

/** Units of a brew. An object that is used again: a number handed on and back would be allocated each time. */
export interface Volume {
  most: number
}

/** What of the state a constraint looks at and counts in. */
export interface Tallies {
  readonly model: Model
  /** By site and day of transfer (V11). */
  readonly transfersUsed: Int32Array[]
  /** Work by filler and day: runs, set-ups (L1) and washing (L4). */
  readonly minutesUsed: Float64Array[]
  /** Wash groups by filler (L4); undefined where washing cannot bind. */
  readonly washing: readonly (Washing | undefined)[]
}

/** Functions over the state; they hold no data and allocate nothing. A question that is left out is not the rule's. */
export interface SearchConstraint {
  readonly rule: RuleNumber
  /** Can the rule bind in the problem at all? Where not, its constraint is never asked. */
  binds(model: Model): boolean
  /** Narrows the days on which a batch of a beer may be drawn for a pack, after the transfer if one is to be made for it. */
  drawDays?(
    state: Tallies,
    batch: Batch,
    beer: BeerModel,
    pack: PackModel,
    transfer: Transfer | undefined,
    days: Days,
  ): void
  /** Narrows the days on which a batch may be moved to a bright vessel. */
  transferDays?(state: Tallies, batch: Batch, days: Days): void
  /** May one more transfer start at a site on a day on which `started` do? */
  mayTransfer?(site: SiteModel, day: number, started: number): boolean
  /** May a site make so many brews more on a day on which it makes `made`? */
  mayBrew?(site: SiteModel, day: number, made: number, brews: number): boolean
  /** Lowers the units that the brew of a batch may have at most, where its site makes `made` brews that day, its own among them. */
  brewUnits?(batch: Batch, site: SiteModel, fermenter: VesselModel, made: number, volume: Volume): void
  /** Units of work beyond the set-up (L1) before a first draw of a beer that the filler has not set up for on a day. */
  extraMinutes?(state: Tallies, beer: number, filler: number, day: number): number
  /** A set-up came into the plan, or left it: -1 exactly undoes 1. */
  onSetup?(state: Tallies, batch: Batch, filler: number, day: number, sign: 1 | -1): void
  /** A transfer came into the plan, or left it: -1 exactly undoes 1. */
  onTransfer?(state: Tallies, batch: Batch, day: number, sign: 1 | -1): void
}

/** The answers of one list for each question, in the order of the constraints. */
export type BindingConstraints = {
  readonly [Question in Exclude<keyof SearchConstraint, 'rule' | 'binds'>]-?: readonly NonNullable<
    SearchConstraint[Question]
  >[]
}

/** Of some constraints those that can bind in a problem, by question. */
export function bindingConstraints(model: Model, constraints: readonly SearchConstraint[]): BindingConstraints {
  const binding = constraints.filter((each) => each.binds(model))
  const those = <Answer>(of: (each: SearchConstraint) => Answer | undefined) =>
    binding.map(of).filter((answer) => answer !== undefined)
  return {
    drawDays: those((each) => each.drawDays),
    transferDays: those((each) => each.transferDays),
    mayTransfer: those((each) => each.mayTransfer),
    mayBrew: those((each) => each.mayBrew),
    brewUnits: those((each) => each.brewUnits),
    extraMinutes: those((each) => each.extraMinutes),
    onSetup: those((each) => each.onSetup),
    onTransfer: those((each) => each.onTransfer),
  }
}
