// What has left the site or has been delivered is a fact: no amendment takes it back.
import { Conflict, type Issue, issue } from '../../errors.ts'
import { pathInWords } from '../../planner/documents/index.ts'

/** What the records know of a line that may have left in part; whole containers. */
interface Line {
  packId: string
  quantity: number
  dispatched: number
  delivered: number
}

/** Throws `Conflict` (`ALREADY_DISPATCHED`) where some of the line has left: it can not be withdrawn. `path` is its place in the input. */
export function refuseIfDispatched({ dispatched, quantity }: Line, path: string): void {
  if (dispatched > 0)
    throw new Conflict(
      'ALREADY_DISPATCHED',
      `${pathInWords(path)}: ${dispatched} of ${quantity} have left the site already.`,
    )
}

/**
 * Whether a line can become so. Answers what is wrong with the quantity where it is below what has been delivered; throws
 * `Conflict` (`ALREADY_DISPATCHED`) where it is below what has left, or where another pack or day is wanted of what has left.
 */
export function faultOfChange(
  line: Line,
  wanted: { quantity: number; packId: string; sameDay: boolean },
  path: string,
): Issue | undefined {
  const { quantity, packId, sameDay } = wanted
  const { delivered, dispatched } = line
  if (quantity < delivered)
    return issue(
      `${path}.quantity`,
      'BELOW_DELIVERED',
      `${quantity} is below the ${delivered} that have been delivered`,
    )
  if (quantity < dispatched || (dispatched > 0 && (packId !== line.packId || !sameDay))) refuseIfDispatched(line, path)
  return undefined
}
