// An order changes: lines are changed, added and withdrawn in one step, whole or not at all.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { dayOf } from '../../database/calendar-day.ts'
import { Conflict, issue } from '../../errors.ts'
import type { OrderLine } from '../../planner/documents/index.ts'
import { withoutNulls } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readChange } from '../read-input.ts'
import { externalRef } from '../setup/shapes.ts'
import { orderRef, type ThingRef, thingRef, wordsOf } from '../thing-ref.ts'
import { dispatchedOf, noteFaultOfChange } from './dispatched.ts'
import { createLines, newLines, orderLineOf } from './new-lines.ts'
import { openOrder } from './open-order.ts'
import type { OrderWriting } from './order-writing.ts'
import { changeLines } from './replan.ts'
import { accept, changedLine, MOST_LINES, newLine, note, unlessNull, WAYS_TO_ACCEPT } from './shapes.ts'
import { lineColumns, type OrderAnswer, writeOrder } from './write-order.ts'

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
  addLines: listOf(z.preprocess(withoutNulls, newLine)),
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
  const reading = readChange(shape, input)
  const { given } = reading
  const { distributorId } = actor
  return writeOrder(actor, given, async (writing) => {
    const { tx, refs, snapshot } = writing
    refs.take(reading)
    const { id, before, touched, cancelled, changing, altered, added } = await judged(writing, given)

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

/** What is to be changed, looked up. Throws all that is wrong with it. */
async function judged(writing: OrderWriting, given: Given) {
  const { refs } = writing
  const touched = given.changeLines.length + given.addLines.length + given.cancelLines.length
  if (touched === 0 && given.note === undefined && given.externalRef === undefined)
    refs.note(issue('', 'NOTHING_TO_CHANGE'))
  if (given.accept === undefined && given.changeLines.length + given.addLines.length > 0)
    refs.note(
      issue('accept', 'MISSING_VALUE', `say what you accept for lines that change or are new: ${WAYS_TO_ACCEPT}`),
    )
  const found = await openOrder(writing, given.order, given.ifRevision)
  const { id = '', before } = found ?? {}
  if ((before?.lines.length ?? 0) + given.addLines.length > MOST_LINES)
    refs.note(issue('addLines', 'TOO_MANY', `an order has at most ${MOST_LINES} lines`))
  const cancelled = await ownLines(writing, id, given.cancelLines, (index) => `cancelLines[${index}]`)
  const changing = await ownLines(
    writing,
    id,
    given.changeLines.map(({ line }) => line),
    (index) => `changeLines[${index}].line`,
  )
  for (const { index, row } of changing)
    if (cancelled.some((each) => each.row.id === row.id))
      refs.note(issue(`changeLines[${index}].line`, 'DUPLICATE_ENTRY', 'the line is to be cancelled as well'))
  for (const { index, row } of cancelled)
    refs.refuse(`cancelLines[${index}]`, dispatchedOf(row, `cancelLines[${index}]`))
  const accountId = before?.accountId ?? ''
  const altered = await alteredLines(writing, given, changing, id, accountId)
  const added = (await newLines(writing, given.addLines, 'addLines')).map((line) =>
    orderLineOf(line, randomUUID(), id, accountId),
  )
  await refs.free('Order', given.externalRef ?? undefined, 'externalRef', id)
  const open = before?.lines.filter(({ status }) => status === 'OPEN').length ?? 0
  const gone = cancelled.filter(({ row, isOpen }) => isOpen && row.dispatched === 0).length
  if (gone > 0 && open - gone + added.length === 0)
    refs.note(issue('cancelLines', 'EMPTY_LIST', 'no line would be left: cancel the order instead'))
  refs.settle()
  if (!before) throw new Error('an order that is not there was amended')
  return {
    ...{ id, before, touched, altered, added },
    cancelled: cancelled.map(({ row }) => row),
    changing: changing.map(({ row }) => row),
  }
}

/** The open lines of the order that a list names, with their places in the list; what is wrong is noted. */
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
    const path = pathOf(index)
    const ref = named[index]
    const words = ref ? wordsOf(ref) : id
    if (row.orderId !== orderId && orderId !== '')
      refs.noteBeside(['order'], issue(path, 'UNKNOWN_REFERENCE', `the line "${words}" belongs to another order`))
    else if (row.status !== 'OPEN')
      refs.refuse(path, new Conflict('STATUS_FORBIDS', `The line "${words}" is ${row.status.toLowerCase()}.`))
    if (ids.indexOf(id) !== index) refs.note(issue(path, 'DUPLICATE_ENTRY', `the line "${words}" is named twice`))
    return [{ index, row, isOpen: row.orderId === orderId && row.status === 'OPEN' }]
  })
}

/**
 * The lines as they are to be: what the input names is laid over each as it stands. Only what it names is judged: a line
 * of a pack that was retired since, or whose day is over, can still be changed otherwise.
 */
async function alteredLines(
  { refs }: OrderWriting,
  given: Given,
  own: Awaited<ReturnType<typeof ownLines>>,
  orderId: string,
  accountId: string,
): Promise<OrderLine[]> {
  const lines: OrderLine[] = []
  for (const { index, row } of own) {
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
    refs.latest(wanted.serveOn, wanted.latestServeOn, `${path}.latestServeOn`, `${path}.serveOn`)
    noteFaultOfChange(refs, row, { ...wanted, sameDay }, path)
    lines.push(orderLineOf(wanted, row.id, orderId, accountId))
  }
  return lines
}
