// Placing lines again, one after the other in some order, and filling to stock what is left over.

import { place } from '../insertion/place.ts'
import type { InsertionPolicy } from '../insertion/policy.ts'
import { fillToStock } from '../insertion/surplus.ts'
import type { LineModel } from '../model/model.ts'
import { below, type Random, shuffle } from '../model/random.ts'
import type { UndoLog } from '../model/undo-log.ts'

type Order = (a: LineModel, b: LineModel) => number

const byDue: Order = (a, b) => a.dueOn - b.dueOn || a.index - b.index
const byPriority: Order = (a, b) => b.unservedRate - a.unservedRate || byDue(a, b)
const byLatestFill: Order = (a, b) => a.dueOn - a.settle - (b.dueOn - b.settle) || a.index - b.index
const bySize: Order = (a, b) => b.quantity - a.quantity || a.index - b.index
const byLast: Order = (a, b) => -byDue(a, b)
const byFewestDays: Order = (a, b) => a.options.length - b.options.length || byDue(a, b)

/** Orders of construction and recreation; never by beer. */
export const ORDERS: readonly Order[] = [byPriority, byLatestFill, byDue, bySize, byLast, byFewestDays]

/** Sorts lines by one of the orders, or shuffles them. */
export function arrange(lines: LineModel[], random: Random): LineModel[] {
  const which = below(random, ORDERS.length + 2)
  return which < ORDERS.length ? lines.sort(ORDERS[which]) : shuffle(random, lines)
}

/** Places lines in the given order, those that pay; unless the policy differs, parts of lines only after all that can be whole. */
export function placeAll(log: UndoLog, lines: LineModel[], policy: InsertionPolicy): void {
  const inPart: LineModel[] = []
  for (const line of lines) {
    const found = place(log.state, line, policy)
    if (!found || found.searchCost >= 0) continue
    if (found.placement.delivered < line.quantity && !policy.inTurn) inPart.push(line)
    else log.place(found.placement)
  }
  for (const line of inPart) {
    const found = place(log.state, line, policy)
    if (found && found.searchCost < 0) log.place(found.placement)
  }
}

/** Fills to stock what batches touched since the last call would dump. */
export function stockTouched(log: UndoLog, random?: Random): void {
  const { touched } = log.state
  const batches = [...touched].sort((a, b) => a.serial - b.serial)
  touched.clear()
  for (const batch of batches) fillToStock(log, batch, random)
}
