// Reasons that a plan lists already: a line that is served just as before keeps them. Finding them again takes most of a
// second on a thousand lines.
import { localDateOf } from '../calendar/days.ts'
import { type DeliveredLine, deliveredByLine } from '../documents/delivered-by-line.ts'
import type { Plan } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import { fillWindows } from '../insertion/option.ts'
import { lastServe } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { Explain } from '../opening/export.ts'

/** Answers the plan's reasons for a line that the state serves just as the plan does; explains any other by `anew`. */
export function reuseReasons(state: State, plan: Plan, anew: Explain): Explain {
  const given = givenReasons(plan)
  return (line) => {
    const placement = state.placements[line.index]
    const last = lastServe(placement)
    const day = last < 0 ? '' : localDateOf(state.model.today + last)
    const reasons = given(line.id, { quantity: placement?.delivered ?? 0, last: day })
    // B5: where days have passed since, the time that was left may have run out; that is to be said.
    return reasons && hasTime(state, line) ? reasons : anew(line)
  }
}

/** Whether any day is left on which the line could be filled (B5). */
function hasTime(state: State, line: LineModel): boolean {
  for (const { from, to } of fillWindows(state, line).values()) if (from <= to) return true
  return false
}

/** The reasons that a plan lists for a line, if it is served just as the plan serves it; `last` is '' where nothing is. */
function givenReasons(plan: Plan): (lineId: string, now: DeliveredLine) => Reason[] | undefined {
  const served = deliveredByLine(plan.deliveries)
  const reasons = new Map([...(plan.late ?? []), ...plan.unserved].map((each) => [each.orderLineId, each.reasons]))
  return (lineId, now) => {
    const before = served.get(lineId) ?? { quantity: 0, last: '' }
    return before.quantity === now.quantity && before.last === now.last ? reasons.get(lineId) : undefined
  }
}
