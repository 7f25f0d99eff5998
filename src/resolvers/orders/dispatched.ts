// What has left the site or has been delivered is a fact: no amendment takes it back.
import { Conflict, issue } from '../../errors.ts'
import { pathInWords } from '../../planner/documents/index.ts'
import type { Faults } from '../faults.ts'

/** What the records know of a line that may have left in part; whole containers. */
interface Line {
  packId: string
  quantity: number
  dispatched: number
  delivered: number
}

/** The refusal (`ALREADY_DISPATCHED`) where some of the line has left: it can not be withdrawn. `words` names it. */
export function dispatchedOf({ dispatched, quantity }: Line, words: string): Conflict | undefined {
  return dispatched > 0
    ? new Conflict('ALREADY_DISPATCHED', `${words}: ${dispatched} of ${quantity} have left the site already.`)
    : undefined
}

/**
 * Notes where a line can not become so: its quantity is below what has been delivered, or (`ALREADY_DISPATCHED`) below what
 * has left, or another pack or day is wanted of what has left.
 */
export function noteFaultOfChange(
  faults: Faults,
  line: Line,
  wanted: { quantity: number; packId: string; sameDay: boolean },
  path: string,
): void {
  const { quantity, packId, sameDay } = wanted
  const { delivered, dispatched } = line
  if (quantity < delivered)
    faults.note(
      issue(`${path}.quantity`, 'BELOW_DELIVERED', `${quantity} is below the ${delivered} that have been delivered`),
    )
  else if (quantity < dispatched) faults.refuse(`${path}.quantity`, dispatchedOf(line, pathInWords(path)))
  else if (packId !== line.packId) faults.refuse(`${path}.pack`, dispatchedOf(line, pathInWords(path)))
  else if (!sameDay) faults.refuse(`${path}.serveOn`, dispatchedOf(line, pathInWords(path)))
}
