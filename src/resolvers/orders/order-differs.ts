// How an order, or a line of one, differs from what an input says of it: for one whose reference is taken.
import { dayOf } from '../../database/calendar-day.ts'
import { lineWithDefaults } from '../../planner/documents/index.ts'
import type { ReadContext } from '../commands/command.ts'
import { encodeGlobalId } from '../global-id.ts'
import { isSame, type LookUp, placeIn } from '../same-thing.ts'
import type { ThingRef } from '../thing-ref.ts'
import { describeOrder } from './describe.ts'
import type { NewLine } from './shapes.ts'

/** What an input says of an order of lines of its own. */
export interface SaidOfOrder {
  account?: ThingRef
  note?: string
  serveOn?: string
  lines?: readonly NewLine[]
}

type Context = Pick<ReadContext, 'client' | 'snapshot'>

/** The fields of an order's input that differ from the order: lines by their places, and `lines` where the order has others besides. */
export async function orderDiffers(context: Context, id: string, given: SaidOfOrder): Promise<string[]> {
  const lookUp = lookUpOf(context)
  const order = await describeOrder(context.client, lookUp.distributorId, id)
  const differs: string[] = []
  if (!(await isSame(lookUp, { id: encodeGlobalId('Account', order.accountId) }, given.account)))
    differs.push('account')
  if (!(await isSame(lookUp, order.note, given.note))) differs.push('note')
  const left: object[] = order.lines.filter(({ status }) => status !== 'CANCELLED').map(asInput)
  for (const [index, line] of (given.lines ?? []).entries()) {
    const place = await placeIn(lookUp, left, wholeLine(line, given.serveOn))
    if (place === undefined) differs.push(`lines[${index}]`)
    else left.splice(place, 1)
  }
  return left.length > 0 ? [...differs, 'lines'] : differs
}

/** The fields of a line's input that differ from the line of this id, beneath `path`. */
export async function lineDiffers(
  context: Context,
  id: string,
  { line, serveOn, path }: { line: NewLine; serveOn: string | undefined; path: string },
): Promise<string[]> {
  const lookUp = lookUpOf(context)
  const { distributorId } = lookUp
  const row = await context.client.orderLine.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
  if (row.status === 'CANCELLED') return [path]
  const latestServeOn = row.latestServeOn && dayOf(row.latestServeOn)
  const is = new Map<string, unknown>(Object.entries(asInput({ ...row, serveOn: dayOf(row.serveOn), latestServeOn })))
  const differs: string[] = []
  for (const [field, value] of Object.entries(wholeLine(line, serveOn)))
    if (!(await isSame(lookUp, is.get(field), value))) differs.push(`${path}.${field}`)
  return differs
}

function lookUpOf({ client, snapshot: { distributorId } }: Context): LookUp {
  return { tx: client, distributorId }
}

interface Line {
  externalRef: string | null
  packId: string
  quantity: number
  serveOn: string
  latestServeOn: string | null
  priority: number
  splittable: boolean
}

/** A line of the records as an input would say it. */
function asInput({ externalRef, packId, quantity, serveOn, latestServeOn, priority, splittable }: Line) {
  return {
    pack: { id: encodeGlobalId('Pack', packId) },
    externalRef,
    quantity,
    serveOn,
    latestServeOn,
    priority,
    splittable,
  }
}

/** A line of an input with what is left out written out. */
function wholeLine({ pack, externalRef, ...line }: NewLine, ofOrder: string | undefined) {
  const serveOn = line.serveOn ?? ofOrder ?? ''
  const whole = lineWithDefaults({ ...line, id: '', orderId: '', accountId: '', packId: '', serveOn })
  const { quantity, latestServeOn, priority, splittable } = whole
  return { pack, externalRef, quantity, serveOn, latestServeOn, priority, splittable }
}
