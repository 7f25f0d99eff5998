// Rows to the order lines of a problem: what is wanted, and of reservations what holds. A writer who knows most of them reads
// only those that it has changed.
import { dayOf } from '../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../database/client.ts'
import type { OrderLine } from '../planner/documents/index.ts'
import { sortedBy } from './group.ts'
import { lapsedBy, type Reserved, readReserved } from './reserved.ts'

/** The lines that are wanted, and what holds them. */
export interface OpenLines {
  /** By id; without what has left and what was closed short. */
  openLines: OrderLine[]
  /** The reservations whose lines are among them. */
  reserved: readonly Reserved[]
  /** The highest number of an order; 0 where there is none. */
  lastOrder: number
  /** The ids of lines that are not wanted any more, as the time of their reservation has run out. */
  lapsed: ReadonlySet<string>
}

/** What a writer who holds the lock knows of the lines that are wanted. */
export interface KnownLines {
  orderLines: readonly OrderLine[]
  /** The ids of lines that the writer has changed: they are read again. */
  changed: ReadonlySet<string>
  reserved: readonly Reserved[]
  lastOrder: number
}

const IS_OPEN = { status: { in: ['OPEN', 'RESERVED'] } } satisfies Prisma.OrderWhereInput & Prisma.OrderLineWhereInput
const OPEN = { ...IS_OPEN, order: IS_OPEN } satisfies Prisma.OrderLineWhereInput
const WITH_ACCOUNT = { order: { select: { accountId: true } } } satisfies Prisma.OrderLineInclude

/** Reads the lines that are wanted at an instant; `BEFORE_SWEEP` leaves in those whose reservation has run out. */
export async function readOpenLines(
  tx: TransactionClient,
  distributorId: string,
  at: Date | 'BEFORE_SWEEP',
): Promise<OpenLines> {
  const rows = await tx.orderLine.findMany({ where: { distributorId, ...OPEN }, include: WITH_ACCOUNT })
  const { _max: numbers } = await tx.order.aggregate({ where: { distributorId }, _max: { number: true } })
  const reservations = await readReserved(tx, distributorId)
  const gone = new Set(at === 'BEFORE_SWEEP' ? [] : lapsedBy(reservations, at).map(({ orderId }) => orderId))
  const isGone = ({ orderId }: { orderId: string }) => gone.has(orderId)
  return {
    openLines: wanted(rows.filter((row) => !isGone(row))),
    reserved: reservations.filter((each) => !isGone(each)),
    lastOrder: numbers.number ?? 0,
    lapsed: new Set(rows.filter(isGone).map(({ id }) => id)),
  }
}

/** The lines that are known, those that have changed as their rows say them now. */
export async function readChangedLines(
  tx: TransactionClient,
  distributorId: string,
  { orderLines, changed, reserved, lastOrder }: KnownLines,
): Promise<OpenLines> {
  const where = { distributorId, ...OPEN, id: { in: [...changed] } }
  const rows = changed.size === 0 ? [] : await tx.orderLine.findMany({ where, include: WITH_ACCOUNT })
  const others = orderLines.filter(({ id }) => !changed.has(id))
  const openLines = sortedBy([...others, ...wanted(rows)], ({ id }) => id)
  return { openLines, reserved, lastOrder, lapsed: new Set() }
}

type LineRow = Prisma.OrderLineGetPayload<{ include: typeof WITH_ACCOUNT }>

/** What is still wanted of lines, by id. */
function wanted(rows: readonly LineRow[]): OrderLine[] {
  return sortedBy(rows, ({ id }) => id).flatMap((row) => {
    const quantity = row.quantity - row.dispatched - row.closedShort
    return quantity === 0 ? [] : [lineOf(row, quantity)]
  })
}

/** A line of which `quantity` containers are wanted. */
function lineOf(row: LineRow, quantity: number): OrderLine {
  return {
    id: row.id,
    orderId: row.orderId,
    accountId: row.order.accountId,
    packId: row.packId,
    quantity,
    serveOn: dayOf(row.serveOn),
    latestServeOn: row.latestServeOn ? dayOf(row.latestServeOn) : undefined,
    promisedOn: row.promisedOn ? dayOf(row.promisedOn) : undefined,
    priority: priorityOf(row.priority),
    splittable: row.splittable,
    placedAt: row.placedAt?.toISOString(),
  }
}

function priorityOf(priority: number): 1 | 2 | 3 {
  return priority === 1 || priority === 2 ? priority : 3
}
