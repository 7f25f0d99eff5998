// What a lever is: a change that the search makes in its state to find the smallest relief of a line (E1).
import type { Reason } from '../documents/reason.ts'
import type { ReliefCode } from '../documents/relief-units.ts'
import type { RuleNumber } from '../documents/rule-numbers.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { UndoLog } from '../model/undo-log.ts'

/** A change that can be made in the state by the unit, and taken back. Days are days after today. */
export interface Lever {
  what: ReliefCode
  /** The binding rule that it answers. */
  rule: RuleNumber
  resource: NonNullable<Reason['resource']>
  /** Days from which on it can be had, first to last, at least one: the smallest amount is found for the first, then the latest day kept. */
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
   * Makes the change through a log, which takes it back: the line to be served by it; undefined where the plan as it stands
   * would not survive the change.
   */
  pull: (log: UndoLog, amount: number, day: number) => LineModel | undefined
  /** The day to show, from the amount and the day that were found; undefined where no day matters. */
  by: (amount: number, day: number) => number | undefined
  /** What its words need beside the amount; absent: nothing. */
  params?: (amount: number) => NonNullable<Reason['params']>
}

/** Offers levers for a line; none where the kind of relief means nothing to it. */
export type LeverMaker = (state: State, line: LineModel) => Lever[]

/** Name of a site's fleet of a container type, or of its store of a climate, in `Reason.resource`. */
export function atSite(siteId: string, what: string): string {
  return `${siteId}/${what}`
}
