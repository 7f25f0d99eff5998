// An Order of UBL that comes in: it is read, the day of serving is reckoned from that of delivery, and it goes the way of all imports.
import { z } from 'zod'
import { InvalidInput, type Issue, issue, Refusal } from '../../errors.ts'
import { addDays, type LocalDate } from '../../planner/documents/index.ts'
import { readUblOrder, type UblOrder } from '../../ubl/order.ts'
import type { UblOrderLine } from '../../ubl/order-line.ts'
import type { Actor } from '../actor.ts'
import { accept, MOST_LINES } from '../orders/shapes.ts'
import { parseInput } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { importOrders } from './import-orders.ts'
import type { Entered } from './imported.ts'

/** An order that was read, and its input for `importOrders`. */
export interface ReadDocument {
  order: UblOrder
  input: { orders: { lines: object[] }[] }
}

/** What became of the order. */
export interface EnteredDocument extends Entered {
  externalRef: string
}

const shape = z.strictObject({ accept: accept.default('ON_TIME_ONLY') })

/**
 * Reads an order; `parameters` may say what is accepted, which UBL has no element for. Throws `InvalidInput` with the path of each element
 * that is wrong.
 */
export async function readOrderDocument(actor: Actor, bytes: Uint8Array, parameters: unknown): Promise<ReadDocument> {
  const given = parseInput(shape, parameters)
  const read = readUblOrder(bytes, MOST_LINES)
  if ('unreadable' in read) throw new InvalidInput([issue('', read.unreadable, read.message)])
  if ('faults' in read) {
    const [first, ...others] = read.faults
    throw new InvalidInput([issueOf(first), ...others.map(issueOf)])
  }
  const { order } = read
  const settleDays = await readSettleDays(actor, order)
  const lines = order.lines.map(({ reference, pack, quantity, deliverBy, deliverLatest, splittable }) => {
    const served = (day: LocalDate) => addDays(day, settleDays(pack))
    return {
      ...{ externalRef: reference, pack: { externalRef: pack }, quantity, serveOn: served(deliverBy) },
      ...(deliverLatest === undefined ? {} : { latestServeOn: served(deliverLatest) }),
      ...(splittable === undefined ? {} : { splittable }),
    }
  })
  const { reference: externalRef, account, note } = order
  const whole = {
    externalRef,
    account: { externalRef: account },
    ...given,
    lines,
    ...(note === undefined ? {} : { note }),
  }
  return { order, input: { orders: [whole] } }
}

/** Takes in an order that was read, whole or not at all. Throws its refusal; paths of `InvalidInput` are those of the elements. */
export async function enterOrderDocument(
  actor: PlanningActor,
  { order, input }: ReadDocument,
): Promise<EnteredDocument> {
  const [result] = (await importOrders(actor, input)).results
  if (!result) throw new Error('one order was taken in, and one result comes back')
  const { became } = result
  if (became instanceof InvalidInput) {
    const [first, ...others] = became.issues.map((each) => ({ ...each, path: elementOf(order, each.path) }))
    if (first) throw new InvalidInput([first, ...others])
  }
  if (became instanceof Refusal) throw became
  return { externalRef: order.reference, ...became }
}

function issueOf({ path, code, message }: { path: string; code: Issue['code']; message: string }): Issue {
  return issue(path, code, message)
}

/** Days that beer of a pack settles at the account before it is served (B1); 0 for what is not there, which is refused later. */
async function readSettleDays({ client, distributorId }: Actor, { account, lines }: UblOrder) {
  const select = { externalRef: true, settleDays: true } as const
  const named = await client.account.findFirst({ where: { distributorId, externalRef: account }, select })
  const refs = [...new Set(lines.map(({ pack }) => pack))]
  const packs = await client.pack.findMany({ where: { distributorId, externalRef: { in: refs } }, select })
  const ofPack = new Map(packs.map(({ externalRef, settleDays }) => [externalRef, settleDays]))
  return (pack: string) => named?.settleDays ?? ofPack.get(pack) ?? 0
}

/** What inputs call the parts of a line. */
const PARTS: Readonly<Record<string, keyof UblOrderLine['paths']>> = {
  externalRef: 'reference',
  pack: 'pack',
  quantity: 'quantity',
  serveOn: 'deliverBy',
  latestServeOn: 'deliverLatest',
  splittable: 'splittable',
}

/** The element that a path of the input comes from. */
function elementOf({ lines, paths }: UblOrder, path: string): string {
  const [, index, part = ''] = /^lines\[(\d+)\](?:\.(\w+))?/.exec(path) ?? []
  const line = index === undefined ? undefined : lines[Number(index)]
  if (line) return line.paths[PARTS[part] ?? 'line']
  if (path.startsWith('account')) return paths.account
  if (path === 'externalRef') return paths.reference
  return path === 'note' ? paths.note : 'Order'
}
