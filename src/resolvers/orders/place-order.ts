// A new order: its lines are placed in the plan in force, and what was accepted with them is promised.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { issue } from '../../errors.ts'
import { localDate, type OrderLine } from '../../planner/problem.ts'
import { parseInput } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { Written } from '../setup/noun.ts'
import { externalRef } from '../setup/shapes.ts'
import { thingRef } from '../thing-ref.ts'
import { changeLines } from './replan.ts'
import { accept, MOST_LINES, type NewLine, newLine, note } from './shapes.ts'
import type { Wanted } from './wanted-lines.ts'
import { lineColumns, type OrderWriting, refuseTaken, writeOrder } from './write-order.ts'

const shape = z.strictObject({
  externalRef,
  account: thingRef,
  serveOn: localDate.optional(),
  note: note.optional(),
  accept,
  lines: z.array(newLine).min(1).max(MOST_LINES),
})

/**
 * Places an order whole or not at all. Throws `InvalidInput`, `Conflict`, and `NotPossible` with what binds where it cannot
 * be served as `accept` asks.
 */
export async function placeOrder(actor: PlanningActor, input: unknown): Promise<Written> {
  const given = parseInput(shape, input)
  const { distributorId } = actor
  return writeOrder(actor, async (writing) => {
    const { tx, refs, snapshot } = writing
    const accountId = await refs.account(given.account, 'account')
    const wanted = await newLines(writing, given.lines, 'lines', given.serveOn)
    refs.settle()
    await refuseTaken(writing, 'Order', given.externalRef, 'externalRef')
    const id = randomUUID()
    const lines = wanted.map((line) => orderLineOf(line, randomUUID(), id, accountId))
    const changed = changeLines(snapshot, { without: new Set(), lines, accept: given.accept })
    const { _max: last } = await tx.order.aggregate({ where: { distributorId }, _max: { number: true } })
    await tx.order.create({
      data: {
        distributorId,
        id,
        externalRef: given.externalRef ?? null,
        number: (last.number ?? 0) + 1,
        accountId,
        placedAt: actor.clock.now(),
        note: given.note ?? null,
      },
    })
    await createLines(writing, changed.lines, given.lines, 1)
    return { id, event: 'ORDER_PLACED', changed }
  })
}

/** Looks up new lines of the list at `path`; references of two lines must differ, and be free. */
export async function newLines(
  writing: OrderWriting,
  asked: readonly NewLine[],
  path: string,
  serveOn?: string,
): Promise<Wanted[]> {
  const { refs } = writing
  const wanted: Wanted[] = []
  const seen = new Set<string>()
  for (const [index, { externalRef, ...line }] of asked.entries()) {
    wanted.push(await refs.line(line, `${path}[${index}]`, serveOn))
    if (externalRef === undefined) continue
    const at = `${path}[${index}].externalRef`
    if (seen.has(externalRef)) refs.note(issue(at, 'DUPLICATE_ENTRY', `two lines have the reference "${externalRef}"`))
    seen.add(externalRef)
  }
  refs.settle()
  for (const [index, { externalRef }] of asked.entries())
    await refuseTaken(writing, 'OrderLine', externalRef, `${path}[${index}].externalRef`)
  return wanted
}

/** A line as the planner knows it, with what was left out written out. */
export function orderLineOf(wanted: Wanted, id: string, orderId: string, accountId: string): OrderLine {
  return {
    id,
    orderId,
    accountId,
    packId: wanted.packId,
    quantity: wanted.quantity,
    serveOn: wanted.serveOn,
    latestServeOn: wanted.latestServeOn,
    promisedOn: wanted.promisedOn,
    priority: wanted.priority ?? 3,
    splittable: wanted.splittable ?? false,
  }
}

/** Writes lines of one order, numbered from `first`; `asked` has their references, in the same order. */
export async function createLines(
  { tx, snapshot: { distributorId } }: OrderWriting,
  lines: readonly OrderLine[],
  asked: readonly NewLine[],
  first: number,
): Promise<void> {
  await tx.orderLine.createMany({
    data: lines.map((line, index) => ({
      distributorId,
      id: line.id,
      orderId: line.orderId,
      externalRef: asked[index]?.externalRef ?? null,
      lineNumber: first + index,
      ...lineColumns(line),
    })),
  })
}
