// What a relaxation of a rule is: a limit that can be lifted to find out whether it binds a line, and put back.
import type { Reason } from '../documents/reason.ts'
import type { RuleNumber } from '../documents/rule-numbers.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { UndoLog } from '../model/undo-log.ts'

export interface Relaxation {
  rule: RuleNumber
  /** Could the limit be in the way of the line at all? Where not, lifting it would change nothing. */
  matters: (state: State, line: LineModel) => boolean
  /** Lifts the limit for the line's beer, sites and account through a log, which puts it back. */
  lift: (log: UndoLog, line: LineModel) => void
  /** What binds; its resource is named only where no other could be the one. */
  reason: (state: State, line: LineModel) => Reason
}
