// An order changes: lines are changed, added and withdrawn in one step, whole or not at all.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { dayOf } from '../../database/calendar-day.ts'
import { Conflict, InvalidInput, issue } from '../../errors.ts'
import { localDate, type OrderLine } from '../../planner/documents/index.ts'
import { parseChange, withoutNulls } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { externalRef } from '../setup/shapes.ts'
import { orderIdOf, orderRef, type ThingRef, thingRef, wordsOf } from '../thing-ref.ts'
import { refuseUnlessOpen } from './cancel-order.ts'
import { refuseIfChanged } from './changed-since.ts'
import { describeOrder } from './describe.ts'
import { faultOfChange, refuseIfDispatched } from './dispatched.ts'
import { createLines, newLines, orderLineOf } from './new-lines.ts'
import type { OrderWriting } from './order-writing.ts'
import { changeLines } from './replan.ts'
import { accept, changedLine, MOST_LINES, newLine, note, unlessNull } from './shapes.ts'
import { lineColumns, type OrderAnswer, refuseTaken, writeOrder } from './write-order.ts'

const shape = z.strictObject({
  order: orderRef,
  ifRevision: unlessNull(z.int().min(0)),
  dryRun: z
    .boolean()
    .nullish()
    .transform((value) => value ?? false),
  externalRef: externalRef.nullable(),
  note: note.nullish(),
  accept: unlessNull(accept),
  changeLines: listOf(changedLine),
  addLines: listOf(z.preprocess(withoutNulls, newLine.extend({ serveOn: localDate }))),
  cancelLines: listOf(thingRef),
})

function listOf<Shape extends z.ZodType>(shape: Shape) {
  return z
    .array(shape)
    .max(MOST_LINES)
    .nullish()
    .transform((list) => list ?? [])
}

type Given = z.output<typeof shape>

/**
 * Changes an order. Lines that change and lines that are new are placed anew, as `accept` asks; other lines keep their
 * place, and so does what has left of a line. `accept` may be missing where nothing is placed. A line whose day does not
 * change may be served by the day that it was promised: it has a claim to that. Throws `InvalidInput`, `NotFound`,
 * `Conflict`, and `NotPossible` with what binds; then the order stays as it was.
 */
export async function amendOrder(actor: PlanningActor, input: unknown): Promise<OrderAnswer> {
  const given = parseChange(shape, input)
  const touched = given.changeLines.length + given.addLines.length + given.cancelLines.length
  if (touched === 0 && given.note === undefined && given.externalRef === undefined)
    throw new InvalidInput([issue('', 'NOTHING_TO_CHANGE')])
  if (given.accept === undefined && given.changeLines.length + given.addLines.length > 0)
    throw new InvalidInput([issue('accept', 'MISSING_VALUE', 'lines that change or are new need it')])
  const { distributorId } = actor
  return writeOrder(actor, given, async (writing) => {
    const { tx, refs, snapshot } = writing
    const id = await orderIdOf(tx, distributorId, given.order)
    await refuseUnlessOpen(writing, id)
    const before = await describeOrder(tx, distributorId, id)
    await refuseIfChanged(writing, id, given.ifRevision, before)
    if (before.lines.length + given.addLines.length > MOST_LINES)
      refs.note(issue('addLines', 'TOO_MANY', `an order has at most ${MOST_LINES} lines`))
    const cancelled = await ownLines(writing, id, given.cancelLines, (index) => `cancelLines[${index}]`)
    const changing = await ownLines(
      writing,
      id,
      given.changeLines.map(({ line }) => line),
      (index) => `changeLines[${index}].line`,
    )
    for (const [index, line] of changing.entries())
      if (cancelled.some((each) => each.id === line.id))
        refs.note(issue(`changeLines[${index}].line`, 'DUPLICATE_ENTRY', 'the line is to be cancelled as well'))
    for (const [index, line] of cancelled.entries()) refuseIfDispatched(line, `cancelLines[${index}]`)
    const altered = await alteredLines(writing, given, changing, id, before.accountId)
    const added = (await newLines(writing, given.addLines, 'addLines')).map((line) =>
      orderLineOf(line, randomUUID(), id, before.accountId),
    )
    refs.settle()
    await refuseTaken(writing, 'Order', given.externalRef ?? undefined, 'externalRef', id)
    const left = before.lines.filter(({ status }) => status === 'OPEN').length - cancelled.length + added.length
    if (touched > 0 && left === 0)
      throw new InvalidInput([issue('cancelLines', 'EMPTY_LIST', 'no line would be left: cancel the order instead')])

    await tx.order.update({
      where: { distributorId_id: { distributorId, id } },
      data: { externalRef: given.externalRef, note: given.note },
    })
    if (touched === 0) return { id, event: 'ORDER_AMENDED', before }
    // What has left is no longer the planner's.
    const yetToLeave = altered.flatMap(({ quantity, ...line }) => {
      const left = quantity - (changing.find(({ id }) => id === line.id)?.dispatched ?? 0)
      return left > 0 ? [{ ...line, quantity: left }] : []
    })
    const changed = changeLines(snapshot, {
      without: new Set([...cancelled, ...altered].map((line) => line.id)),
      lines: [...yetToLeave, ...added],
      accept: given.accept ?? 'AS_DEMAND',
      refusal: altered.some(({ promisedOn }) => promisedOn !== undefined) ? 'PROMISE_WORSENS' : 'NO_PLAN_FITS',
    })
    await tx.orderLine.updateMany({
      where: { distributorId, id: { in: cancelled.map((line) => line.id) } },
      data: { status: 'CANCELLED', promisedOn: null },
    })
    const placed = new Map(changed.lines.map((line) => [line.id, line]))
    for (const line of altered)
      await tx.orderLine.update({
        where: { distributorId_id: { distributorId, id: line.id } },
        data: { ...lineColumns(placed.get(line.id) ?? line), quantity: line.quantity },
      })
    const last = Math.max(0, ...before.lines.map(({ lineNumber }) => lineNumber))
    await createLines(writing, changed.lines.slice(yetToLeave.length), given.addLines, last + 1)
    return { id, event: 'ORDER_AMENDED', before, changed }
  })
}

/** The open lines of the order that a list names, each once; what is wrong is noted. */
async function ownLines(
  { tx, refs, snapshot: { distributorId } }: OrderWriting,
  orderId: string,
  named: readonly ThingRef[],
  pathOf: (index: number) => string,
) {
  const ids: string[] = []
  for (const [index, ref] of named.entries()) ids.push(await refs.id('OrderLine', ref, pathOf(index)))
  const rows = await tx.orderLine.findMany({ where: { distributorId, id: { in: ids } } })
  return ids.flatMap((id, index) => {
    const row = rows.find((each) => each.id === id)
    if (!row) return []
    const ref = named[index]
    const words = ref ? wordsOf(ref) : id
    if (row.orderId !== orderId)
      refs.note(issue(pathOf(index), 'UNKNOWN_REFERENCE', `the line "${words}" belongs to another order`))
    else if (row.status !== 'OPEN')
      throw new Conflict('STATUS_FORBIDS', `The line "${words}" is ${row.status.toLowerCase()}.`)
    if (ids.indexOf(id) !== index)
      refs.note(issue(pathOf(index), 'DUPLICATE_ENTRY', `the line "${words}" is named twice`))
    return [row]
  })
}

/**
 * The lines as they are to be: what the input names is laid over each as it stands. Only what it names is judged: a line
 * of a pack that was retired since, or whose day is over, can still be changed otherwise.
 */
async function alteredLines(
  { refs }: OrderWriting,
  given: Given,
  rows: Awaited<ReturnType<typeof ownLines>>,
  orderId: string,
  accountId: string,
): Promise<OrderLine[]> {
  const lines: OrderLine[] = []
  if (rows.length !== given.changeLines.length) return lines
  for (const [index, row] of rows.entries()) {
    const path = `changeLines[${index}]`
    const { pack, serveOn, ...changes } = given.changeLines[index] ?? {}
    const packId = pack === undefined ? row.packId : await refs.pack(pack, `${path}.pack`)
    if (serveOn !== undefined) refs.day(serveOn, `${path}.serveOn`)
    const wantedOn = serveOn ?? dayOf(row.serveOn)
    const sameDay = wantedOn === dayOf(row.serveOn)
    const latest = row.latestServeOn ? dayOf(row.latestServeOn) : undefined
    const wanted = {
      packId,
      quantity: changes.quantity ?? row.quantity,
      serveOn: wantedOn,
      latestServeOn: changes.latestServeOn === undefined ? latest : (changes.latestServeOn ?? undefined),
      promisedOn: sameDay && row.promisedOn ? dayOf(row.promisedOn) : undefined,
      priority: changes.priority ?? (row.priority === 1 || row.priority === 2 ? row.priority : 3),
      splittable: changes.splittable ?? row.splittable,
    }
    refs.latest(wanted.serveOn, wanted.latestServeOn, `${path}.latestServeOn`)
    const fault = faultOfChange(row, { ...wanted, sameDay }, path)
    if (fault) refs.note(fault)
    lines.push(orderLineOf(wanted, row.id, orderId, accountId))
  }
  return lines
}
