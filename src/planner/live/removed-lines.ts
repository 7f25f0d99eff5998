// Lines that make room where others left a plan that is kept open and took with them the containers that they would have
// brought back.
import { localDateOf } from '../calendar/days.ts'
import { notBroughtForward } from '../documents/frozen-promises.ts'
import type { OrderLine } from '../documents/problem.ts'
import type { Placement } from '../model/batch.ts'
import type { Model } from '../model/model.ts'
import { restoreCapacity } from '../opening/restore-capacity.ts'
import { byUrgency } from './carry-forward.ts'
import type { PlanEdit } from './plan-edit.ts'

/** Most lines that make room; where more would have to, the plan is better opened anew. */
const MOST_REMOVED = 50

/** A line that made room: as it is to be placed anew, and as it is wanted. */
export interface RemovedLine {
  placed: OrderLine
  wanted: OrderLine
}

/**
 * Brings all fleets and stores back within bounds. Answers the lines whose placements were lifted for it, none to be brought
 * forward within the frozen days, the most urgent first; undefined where that does not help, as where runs stay that are frozen
 * or fixed.
 */
export function removeLines(edit: PlanEdit, orderLines: readonly OrderLine[]): RemovedLine[] | undefined {
  const { lifted, complete } = restoreCapacity(edit, { lines: MOST_REMOVED, cut: [] })
  if (!complete) return undefined
  const byLine = new Map(lifted.map((placement) => [placement.line.id, placement]))
  return orderLines
    .flatMap((wanted) => {
      const placement = byLine.get(wanted.id)
      return placement ? [{ placed: stayingBack(edit.state.model, wanted, placement), wanted }] : []
    })
    .sort((a, b) => byUrgency(a.wanted, b.wanted))
}

/** A line that is placed, as it may be placed anew: not brought forward within the frozen days. */
function stayingBack({ problem, today }: Model, line: OrderLine, { deliveries }: Placement): OrderLine {
  const first = Math.min(...deliveries.map(({ serve }) => serve))
  return notBroughtForward(problem, line, localDateOf(today + first))
}
