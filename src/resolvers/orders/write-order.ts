// What is written about orders, on top of the lines: the change log's entry, and what became of each line.
import { dateOf } from '../../database/calendar-day.ts'
import type { LocalDate, OrderLine } from '../../planner/documents/index.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { Written } from '../setup/noun.ts'
import { describeOrder } from './describe.ts'
import type { LinesWritten, OrderWriting } from './order-writing.ts'
import { type LineOutcome, outcomeOf } from './outcome.ts'
import { type Manner, writeLines } from './write-lines.ts'

/** What was written of an order. */
export interface OrderWritten extends LinesWritten {
  id: string
  /** Such as `ORDER_PLACED`. */
  event: string
  /** The order as it was. Absent: it is new. */
  before?: object
  /** The order as it is. Absent: it is read. */
  after?: object
}

/** What became of an order, or would. */
export interface OrderAnswer extends Written {
  /** Whether nothing was written: it is what would be. */
  dryRun: boolean
  /** Its lines that changed, came or left, before and after. */
  outcome: LineOutcome[]
}

/** Runs `work`, which writes rows of one order; writes the plan in force and the change log after it (`writeLines`). */
export async function writeOrder(
  actor: PlanningActor,
  { dryRun = false, together }: Manner,
  work: (writing: OrderWriting) => Promise<OrderWritten>,
): Promise<OrderAnswer> {
  const { distributorId } = actor
  const { result, revision } = await writeLines(actor, { dryRun, together }, async (writing) => {
    const { tx, log, snapshot } = writing
    const written = await work(writing)
    const after = written.after ?? (await describeOrder(tx, distributorId, written.id))
    log(written.event, { type: 'Order', id: written.id }, written.before, after)
    return { ...written, outcome: outcomeOf(snapshot, written.changed, written.id) }
  })
  return { id: result.id, revision, dryRun, outcome: result.outcome }
}

/** The columns of a line that the planner knows. */
export function lineColumns(line: OrderLine) {
  const date = (day: LocalDate | undefined) => (day === undefined ? null : dateOf(day))
  return {
    packId: line.packId,
    quantity: line.quantity,
    serveOn: dateOf(line.serveOn),
    latestServeOn: date(line.latestServeOn),
    promisedOn: date(line.promisedOn),
    priority: line.priority ?? 3,
    splittable: line.splittable ?? false,
  }
}
