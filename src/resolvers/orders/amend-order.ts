// An order changes: lines are changed, added and withdrawn in one step, whole or not at all.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { changedRows, type Write } from '../../database/batched-statement.ts'
import { dayOf } from '../../database/calendar-day.ts'
import type { Prisma } from '../../database/client.ts'
import { Conflict, issue } from '../../errors.ts'
import type { OrderLine } from '../../planner/documents/index.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { MayRead } from '../access/may-read.ts'
import type { Command, ReadContext } from '../commands/command.ts'
import { withoutNulls } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readChange } from '../read-input.ts'
import { externalRef } from '../setup/shapes.ts'
import { orderRef, type ThingRef, thingRef, wordsOf } from '../thing-ref.ts'
import type { DescribedOrder } from './describe.ts'
import { dispatchedOf, noteFaultOfChange } from './dispatched.ts'
import { openLineFaults } from './most-open-lines.ts'
import { newLines, orderLineOf } from './new-lines.ts'
import { openOrder } from './open-order.ts'
import { type OrderAnswer, type OrderDecided, orderAnswer, orderDecided } from './order-answer.ts'
import { type Changed, changeLines } from './replan.ts'
import { accept, changedLine, MOST_LINES, newLine, note, unlessNull, WAYS_TO_ACCEPT } from './shapes.ts'

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
  const read = readChange(shape, input)
  const { dryRun } = read.given
  return orderAnswer(await actor.executor.execute(actor, { command: amending(read, actor.mayRead), dryRun }), dryRun)
}

/** What is to be changed, looked up. */
interface Prepared {
  before: DescribedOrder
  cancelled: OwnLine['row'][]
  /** The lines that change, as they are to be, and how many of each have left or were closed short. */
  altered: { line: OrderLine; settled: number }[]
  added: OrderLine[]
}

function amending(read: Reading<Given>, mayRead: MayRead | undefined): Command<Prepared, OrderDecided> {
  return {
    prepare: (context) => {
      context.refs.take(read)
      return judged(context, read.given, mayRead)
    },
    decide: ({ snapshot }, prepared) => {
      const { before } = prepared
      const { id } = before
      const changed = placed(snapshot, read.given, prepared)
      const after = amended(read.given, prepared, changed)
      return {
        changed,
        answer: orderDecided(snapshot, changed, id),
        writes: rowsOf(snapshot.distributorId, prepared, after),
        entries: [['ORDER_AMENDED', { type: 'Order', id }, before, after]],
      }
    },
  }
}

/** The lines and the plan in force after the amendment; undefined where no line is touched. */
function placed(snapshot: Snapshot, given: Given, { cancelled, altered, added }: Prepared): Changed | undefined {
  if (cancelled.length + altered.length + added.length === 0) return undefined
  // What has left or was closed short is no longer the planner's.
  const yetToLeave = altered.flatMap(({ line, settled }) => {
    const quantity = line.quantity - settled
    return quantity > 0 ? [{ ...line, quantity }] : []
  })
  return changeLines(snapshot, {
    without: new Set([...cancelled, ...altered.map(({ line }) => line)].map((line) => line.id)),
    lines: [...yetToLeave, ...added],
    accept: given.accept ?? 'AS_DEMAND',
    refusal: altered.some(({ line }) => line.promisedOn !== undefined) ? 'PROMISE_WORSENS' : 'NO_PLAN_FITS',
  })
}

/** The order as it is afterwards. */
function amended(given: Given, { before, cancelled, altered, added }: Prepared, changed?: Changed): DescribedOrder {
  const promised = new Map(changed?.lines.map((line) => [line.id, line]))
  const withdrawn = new Set(cancelled.map(({ id }) => id))
  const wanted = new Map(altered.map(({ line }) => [line.id, line]))
  const last = Math.max(0, ...before.lines.map(({ lineNumber }) => lineNumber))
  const lines = before.lines.map((line) => {
    if (withdrawn.has(line.id)) return { ...line, status: 'CANCELLED' as const, promisedOn: null }
    const altered = wanted.get(line.id)
    return altered ? { ...line, ...plannedColumns(promised.get(line.id) ?? altered), quantity: altered.quantity } : line
  })
  const more = added.map((line, index) => ({
    id: line.id,
    externalRef: given.addLines[index]?.externalRef ?? null,
    lineNumber: last + 1 + index,
    ...plannedColumns(promised.get(line.id) ?? line),
    status: 'OPEN' as const,
    dispatched: 0,
    closedShort: 0,
    onRoad: 0,
    delivered: 0,
  }))
  const { externalRef = before.externalRef, note = before.note } = given
  return { ...before, externalRef, note, lines: [...lines, ...more] }
}

/** The writes that make the rows say what the order is afterwards. */
function rowsOf(
  distributorId: string,
  { before, cancelled, altered, added }: Prepared,
  after: DescribedOrder,
): Write[] {
  const { id, externalRef, note } = after
  const touched = new Set([...cancelled.map((line) => line.id), ...altered.map(({ line }) => line.id)])
  const changedLines = after.lines.filter((line) => touched.has(line.id))
  const newLines = after.lines.slice(before.lines.length)
  return [
    ...changedRows('Order', [{ distributorId, id, externalRef, note }]),
    ...changedRows(
      'OrderLine',
      changedLines.map((line) => ({ distributorId, ...line })),
    ),
    ...(added.length > 0
      ? [{ model: 'OrderLine' as const, rows: newLines.map((line) => ({ ...line, distributorId, orderId: id })) }]
      : []),
  ]
}

/** The columns of a line that the planner knows. */
function plannedColumns(line: OrderLine) {
  const { packId, quantity, serveOn } = line
  return {
    ...{ packId, quantity, serveOn },
    latestServeOn: line.latestServeOn ?? null,
    promisedOn: line.promisedOn ?? null,
    priority: line.priority,
    splittable: line.splittable,
    placedAt: line.placedAt === undefined ? null : new Date(line.placedAt),
  }
}

/** What is to be changed, looked up. Throws all that is wrong with it. */
async function judged(context: ReadContext, given: Given, mayRead: MayRead | undefined): Promise<Prepared> {
  const { refs } = context
  const touched = given.changeLines.length + given.addLines.length + given.cancelLines.length
  if (touched === 0 && given.note === undefined && given.externalRef === undefined)
    refs.note(issue('', 'NOTHING_TO_CHANGE'))
  if (given.accept === undefined && given.changeLines.length + given.addLines.length > 0)
    refs.note(
      issue('accept', 'MISSING_VALUE', `say what you accept for lines that change or are new: ${WAYS_TO_ACCEPT}`),
    )
  const before = await openOrder(context, given.order, given.ifRevision, mayRead)
  const { id = '', accountId = '' } = before ?? {}
  if ((before?.lines.length ?? 0) + given.addLines.length > MOST_LINES)
    refs.note(issue('addLines', 'TOO_MANY', `an order has at most ${MOST_LINES} lines`))
  refs.note(...openLineFaults(context.snapshot.problem, given.addLines.length, 'addLines'))
  const cancelled = await ownLines(context, id, given.cancelLines, (index) => `cancelLines[${index}]`)
  const changing = await ownLines(
    context,
    id,
    given.changeLines.map(({ line }) => line),
    (index) => `changeLines[${index}].line`,
  )
  for (const { index, row } of changing)
    if (cancelled.some((each) => each.row.id === row.id))
      refs.note(issue(`changeLines[${index}].line`, 'DUPLICATE_ENTRY', 'the line is to be cancelled as well'))
  for (const { index, row } of cancelled)
    refs.refuse(`cancelLines[${index}]`, dispatchedOf(row, `cancelLines[${index}]`))
  const altered = await alteredLines(context, given, changing, id, accountId)
  const added = (await newLines(context, given.addLines, 'addLines')).map((line) =>
    orderLineOf(line, randomUUID(), id, accountId),
  )
  await refs.free('Order', given.externalRef ?? undefined, 'externalRef', id)
  const open = before?.lines.filter(({ status }) => status === 'OPEN').length ?? 0
  const gone = cancelled.filter(({ row, isOpen }) => isOpen && row.dispatched === 0).length
  if (gone > 0 && open - gone + added.length === 0)
    refs.note(issue('cancelLines', 'EMPTY_LIST', 'no line would be left: cancel the order instead'))
  refs.settle()
  if (!before) throw new Error('an order that is not there was amended')
  return { before, added, altered, cancelled: cancelled.map(({ row }) => row) }
}

/** A line that the input names, with its place in the input's list. */
interface OwnLine {
  index: number
  row: Prisma.OrderLineGetPayload<object>
  isOpen: boolean
}

/** The open lines of the order that a list names, with their places in the list; what is wrong is noted. */
async function ownLines(
  { client, refs, snapshot: { distributorId } }: ReadContext,
  orderId: string,
  named: readonly ThingRef[],
  pathOf: (index: number) => string,
): Promise<OwnLine[]> {
  const ids: string[] = []
  for (const [index, ref] of named.entries()) ids.push(await refs.id('OrderLine', ref, pathOf(index)))
  const rows = await client.orderLine.findMany({ where: { distributorId, id: { in: ids } } })
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
 * The lines as they are to be: each as it stands, with the values that the input names. Only what it names is judged: a line
 * of a pack that was retired since, or whose day is over, can still be changed otherwise.
 */
async function alteredLines(
  { refs, now }: ReadContext,
  given: Given,
  own: readonly OwnLine[],
  orderId: string,
  accountId: string,
): Promise<Prepared['altered']> {
  const lines: Prepared['altered'] = []
  for (const { index, row } of own) {
    const path = `changeLines[${index}]`
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
    lines.push({ line: orderLineOf(wanted, row.id, orderId, accountId), settled: row.dispatched + row.closedShort })
  }
  return lines
}
