// What an amendment names, looked up, and everything that is wrong with it.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { dayOf } from '../../database/calendar-day.ts'
import type { Prisma } from '../../database/client.ts'
import { Conflict, issue } from '../../errors.ts'
import type { OrderLine } from '../../planner/documents/index.ts'
import type { MayRead } from '../access/may-read.ts'
import type { ReadContext } from '../commands/command.ts'
import { withoutNulls } from '../parse-input.ts'
import { externalRef } from '../setup/shapes.ts'
import { orderRef, type ThingRef, thingRef, wordsOf } from '../thing-ref.ts'
import type { DescribedOrder } from './describe.ts'
import { dispatchedOf, noteFaultOfChange } from './dispatched.ts'
import { openLineFaults } from './most-open-lines.ts'
import { newLines, orderLineOf } from './new-lines.ts'
import { openOrder } from './open-order.ts'
import { accept, changedLine, MOST_LINES, newLine, note, unlessNull, WAYS_TO_ACCEPT } from './shapes.ts'

export const amendmentShape = z.strictObject({
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

export type Amendment = z.output<typeof amendmentShape>

type OrderLineRow = Prisma.OrderLineGetPayload<object>

/** What is to be changed, looked up. */
export interface Amended {
  before: DescribedOrder
  cancelled: OrderLineRow[]
  /** The lines that change, as they are to be, and how many of each have left or were closed short. */
  altered: { line: OrderLine; settled: number }[]
  added: OrderLine[]
}

/** Where the input says what an amendment says: refusals name it so. */
export interface AmendmentPaths {
  order: string
  /** The list that new lines stand in. */
  lines: string
  changed: (index: number) => string
  added: (index: number) => string
  /** Without an index: the lines that are withdrawn, as a whole. */
  cancelled: (index?: number) => string
}

const OWN_PATHS: AmendmentPaths = {
  order: 'order',
  lines: 'addLines',
  changed: (index) => `changeLines[${index}]`,
  added: (index) => `addLines[${index}]`,
  cancelled: (index) => (index === undefined ? 'cancelLines' : `cancelLines[${index}]`),
}

/** What is to be changed, looked up. Throws all that is wrong with it. */
export async function judged(
  context: ReadContext,
  given: Amendment,
  mayRead: MayRead | undefined,
  paths: AmendmentPaths = OWN_PATHS,
): Promise<Amended> {
  const { refs } = context
  const touched = given.changeLines.length + given.addLines.length + given.cancelLines.length
  if (touched === 0 && given.note === undefined && given.externalRef === undefined)
    refs.note(issue('', 'NOTHING_TO_CHANGE'))
  if (given.accept === undefined && given.changeLines.length + given.addLines.length > 0)
    refs.note(
      issue('accept', 'MISSING_VALUE', `say what you accept for lines that change or are new: ${WAYS_TO_ACCEPT}`),
    )
  const before = await openOrder(context, given.order, given.ifRevision, mayRead, paths.order)
  const { id = '', accountId = '' } = before ?? {}
  if ((before?.lines.length ?? 0) + given.addLines.length > MOST_LINES)
    refs.note(issue(paths.lines, 'TOO_MANY', `an order has at most ${MOST_LINES} lines`))
  refs.note(...openLineFaults(context.snapshot.problem, given.addLines.length, paths.lines))
  const cancelled = await ownLines(context, id, given.cancelLines, { order: paths.order, line: paths.cancelled })
  const changing = await ownLines(
    context,
    id,
    given.changeLines.map(({ line }) => line),
    { order: paths.order, line: (index) => `${paths.changed(index)}.line` },
  )
  for (const { index, row } of changing)
    if (cancelled.some((each) => each.row.id === row.id))
      refs.note(issue(`${paths.changed(index)}.line`, 'DUPLICATE_ENTRY', 'the line is to be cancelled as well'))
  for (const { index, row } of cancelled) refs.refuse(paths.cancelled(index), dispatchedOf(row, paths.cancelled(index)))
  const altered = await alteredLines(context, given, changing, { id, accountId }, paths)
  const added = (await newLines(context, given.addLines, paths.added)).map((line) =>
    orderLineOf(line, randomUUID(), id, accountId),
  )
  await refs.free('Order', given.externalRef ?? undefined, 'externalRef', id)
  const open = before?.lines.filter(({ status }) => status === 'OPEN').length ?? 0
  const gone = cancelled.filter(({ row, isOpen }) => isOpen && row.dispatched === 0).length
  if (gone > 0 && open - gone + added.length === 0)
    refs.note(issue(paths.cancelled(), 'EMPTY_LIST', 'no line would be left: cancel the order instead'))
  refs.settle()
  if (!before) throw new Error('an order that is not there was amended')
  return { before, added, altered, cancelled: cancelled.map(({ row }) => row) }
}

/** A line that the input names, with its place in the input's list. */
interface OwnLine {
  index: number
  row: OrderLineRow
  isOpen: boolean
}

/** The open lines of the order that a list names, with their places in the list; what is wrong is noted. */
async function ownLines(
  { client, refs, snapshot: { distributorId } }: ReadContext,
  orderId: string,
  named: readonly ThingRef[],
  pathOf: { order: string; line: (index: number) => string },
): Promise<OwnLine[]> {
  const ids: string[] = []
  for (const [index, ref] of named.entries()) ids.push(await refs.id('OrderLine', ref, pathOf.line(index)))
  const rows = await client.orderLine.findMany({ where: { distributorId, id: { in: ids } } })
  return ids.flatMap((id, index) => {
    const row = rows.find((each) => each.id === id)
    if (!row) return []
    const path = pathOf.line(index)
    const ref = named[index]
    const words = ref ? wordsOf(ref) : id
    if (row.orderId !== orderId && orderId !== '')
      refs.noteBeside([pathOf.order], issue(path, 'UNKNOWN_REFERENCE', `the line "${words}" belongs to another order`))
    else if (row.status !== 'OPEN')
      refs.refuse(path, new Conflict('STATUS_FORBIDS', `The line "${words}" is ${row.status.toLowerCase()}.`))
    if (ids.indexOf(id) !== index) refs.note(issue(path, 'DUPLICATE_ENTRY', `the line "${words}" is named twice`))
    return [{ index, row, isOpen: row.orderId === orderId && row.status === 'OPEN' }]
  })
}

/**
 * The lines as they are to be: each as it stands, with the values that the input names. Only what it names is judged: a line
 * of a pack that was retired since, or whose day is over, can still be changed otherwise.
 */
async function alteredLines(
  { refs, now }: ReadContext,
  given: Amendment,
  own: readonly OwnLine[],
  order: { id: string; accountId: string },
  paths: AmendmentPaths,
): Promise<Amended['altered']> {
  const lines: Amended['altered'] = []
  for (const { index, row } of own) {
    const path = paths.changed(index)
    const changed = given.changeLines[index]
    if (!changed) throw new Error('a line that changes stands in the input')
    const { pack, serveOn, ...changes } = changed
    const packId = pack === undefined ? row.packId : await refs.pack(pack, `${path}.pack`)
    if (serveOn !== undefined) refs.day(serveOn, `${path}.serveOn`)
    const wantedOn = serveOn ?? dayOf(row.serveOn)
    const sameDay = wantedOn === dayOf(row.serveOn)
    const latest = row.latestServeOn ? dayOf(row.latestServeOn) : undefined
    const quantity = changes.quantity ?? row.quantity
    // B6: a line that asks for no more than before counts as placed when it was.
    const asksNoMore = packId === row.packId && quantity <= row.quantity && wantedOn >= dayOf(row.serveOn)
    const wanted = {
      packId,
      quantity,
      serveOn: wantedOn,
      latestServeOn: changes.latestServeOn === undefined ? latest : (changes.latestServeOn ?? undefined),
      promisedOn: sameDay && row.promisedOn ? dayOf(row.promisedOn) : undefined,
      priority: changes.priority ?? (row.priority === 1 || row.priority === 2 ? row.priority : 3),
      splittable: changes.splittable ?? row.splittable,
      placedAt: asksNoMore ? row.placedAt?.toISOString() : now.toISOString(),
    }
    refs.latest(wanted.serveOn, wanted.latestServeOn, `${path}.latestServeOn`, `${path}.serveOn`)
    noteFaultOfChange(refs, row, { ...wanted, sameDay }, path)
    lines.push({
      line: orderLineOf(wanted, row.id, order.id, order.accountId),
      settled: row.dispatched + row.closedShort,
    })
  }
  return lines
}
