// What is answered about an order that was written, or would be: what each line was promised and could expect, and what it is
// promised and can expect now.
import type { Committed } from '../../database/distributor-lock.ts'
import type { LocalDate, Problem } from '../../planner/documents/index.ts'
import { deliveredByLine } from '../../planner/documents/index.ts'
import type { GaveWay } from '../../planner/index.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Did, Written } from '../written.ts'
import type { Changed } from './replan.ts'

/** What the change log says of a line that gave way. */
export const GAVE_WAY = 'WISH_GAVE_WAY'

export { MOST_WISHES } from '../../planner/index.ts'

/** One line of an order before and after a change. */
export interface LineOutcome {
  lineId: string
  packId: string
  /** Whole containers that have not left yet, and the wanted day; as they were where the line leaves. */
  quantity: number
  serveOn: LocalDate
  /** Absent: it was not there, or nothing was promised. */
  promisedBefore?: LocalDate
  /** The last day on which the plan in force served some of it. */
  expectedBefore?: LocalDate
  /** Absent: it leaves, or nothing is promised. */
  promisedOn?: LocalDate
  /** The last day on which the plan serves some of it now. */
  expectedOn?: LocalDate
  /** Whole containers that the plan serves now. */
  served: number
}

/** An order that was written, or would be. */
export interface OrderAnswer extends Written {
  /** Whether it is for trial: nothing was written. */
  dryRun: boolean
  /** What became of the order, or would. */
  did: Did
  /** Its lines that changed, came or left, before and after. */
  outcome: LineOutcome[]
  /** Lines of other orders, without a promise, that gave way to it. */
  gaveWay: readonly GaveWay[]
}

/** What a command decides of an order. */
export type OrderDecided = Pick<OrderAnswer, 'id' | 'did' | 'outcome' | 'gaveWay'>

/** What is decided of an order whose lines changed so; undefined: none did. */
export function orderDecided(before: Snapshot, changed: Changed | undefined, id: string, did: Did): OrderDecided {
  return { id, did, outcome: outcomeOf(before, changed, id), gaveWay: changed?.gaveWay ?? [] }
}

/** The answer to a command. */
export function orderAnswer({ result, revision }: Committed<OrderDecided>, dryRun: boolean): OrderAnswer {
  return { ...result, revision, dryRun }
}

/** The lines of an order that a change touched: those that leave, then the others in the order of the change. */
function outcomeOf(before: Snapshot, changed: Changed | undefined, orderId: string): LineOutcome[] {
  if (!changed) return []
  const was = new Map(linesOf(before.problem, orderId).map((line) => [line.id, line]))
  const is = new Map(linesOf(changed.problem, orderId).map((line) => [line.id, line]))
  const expected = deliveredByLine(before.inForce?.live().deliveries(was.keys()))
  const ids = new Set(changed.lines.map(({ id }) => id))
  const now = deliveredByLine(changed.proposal?.next.deliveries(ids))
  const touched = changed.lines.flatMap(({ id }) => is.get(id) ?? [])
  return [...[...was.values()].filter(({ id }) => !is.has(id)), ...touched].map(
    ({ id, packId, quantity, serveOn, promisedOn }) => ({
      lineId: id,
      packId,
      quantity,
      serveOn,
      promisedBefore: was.get(id)?.promisedOn,
      expectedBefore: expected.get(id)?.last,
      promisedOn: is.has(id) ? promisedOn : undefined,
      expectedOn: now.get(id)?.last,
      served: now.get(id)?.quantity ?? 0,
    }),
  )
}

function linesOf({ orderLines }: Problem, orderId: string): Problem['orderLines'] {
  return orderLines.filter((line) => line.orderId === orderId)
}
