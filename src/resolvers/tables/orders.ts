// Orders as a table: a row for each line that was not cancelled, in order of their numbers.
import { dayOf } from '../../database/calendar-day.ts'
import type { Prisma } from '../../database/client.ts'
import { orderWhere } from '../orders/order-filter.ts'
import { type Column, NAMED, named, tableOf } from './table.ts'

/** Orders of one page; each has some lines. */
const ORDERS = 100

const WITH = {
  account: NAMED,
  lines: {
    where: { status: { not: 'CANCELLED' } },
    orderBy: { lineNumber: 'asc' },
    include: { pack: NAMED },
  },
} satisfies Prisma.OrderInclude

type Order = Prisma.OrderGetPayload<{ include: typeof WITH }>

interface Row {
  order: Order
  line: Order['lines'][number]
}

const day = (date: Date | null) => date && dayOf(date)

/** What an order says when it is placed, and behind it what has become of it. */
const COLUMNS: readonly Column<Row>[] = [
  { name: 'externalRef', of: ({ order }) => order.externalRef },
  { name: 'account', of: ({ order: { account } }) => named('Account', account) },
  { name: 'accept', of: ({ order: { lines } }) => acceptOf(lines) },
  { name: 'note', of: ({ order }) => order.note },
  { name: 'lineExternalRef', of: ({ line }) => line.externalRef },
  { name: 'pack', of: ({ line: { pack } }) => named('Pack', pack) },
  { name: 'quantity', of: ({ line }) => line.quantity },
  { name: 'serveOn', of: ({ line }) => dayOf(line.serveOn) },
  { name: 'latestServeOn', of: ({ line }) => day(line.latestServeOn) },
  { name: 'priority', of: ({ line }) => line.priority },
  { name: 'splittable', of: ({ line }) => line.splittable },
  { name: 'number', of: ({ order }) => order.number },
  { name: 'accountName', of: ({ order }) => order.account.name },
  { name: 'status', of: ({ line }) => line.status },
  { name: 'promisedOn', of: ({ line }) => day(line.promisedOn) },
  { name: 'dispatched', of: ({ line }) => line.dispatched },
  { name: 'delivered', of: ({ line }) => line.delivered },
  { name: 'placedAt', of: ({ order }) => order.placedAt.toISOString() },
  { name: 'updatedAt', of: ({ order }) => order.updatedAt.toISOString() },
]

/** What is accepted where the order is sent back changed: no later day where something was promised, as a wish where nothing was. */
function acceptOf(lines: Order['lines']): string {
  return lines.some(({ promisedOn }) => promisedOn !== null) ? 'ON_TIME_ONLY' : 'AS_DEMAND'
}

/** Orders, of which parameters may ask for some as the filter of the API does; an account by its reference. */
export const orders = tableOf<Row>('orders:read', COLUMNS, async (actor, { account, ...parameters }) => {
  const { client } = actor
  const where = await orderWhere(actor, {
    ...parameters,
    ...(account === undefined ? {} : { account: { externalRef: account } }),
  })
  const behind = (number: number) =>
    client.order.findMany({
      where: { AND: [where, { number: { gt: number } }] },
      ...{ orderBy: { number: 'asc' }, take: ORDERS, include: WITH },
    })
  return {
    count: await client.orderLine.count({ where: { order: where } }),
    page: async (after) => {
      // Orders of which all lines were cancelled have no rows: a page of nothing else is not the end.
      for (let found = await behind(after?.order.number ?? 0); ; found = await behind(found.at(-1)?.number ?? 0)) {
        const rows = found.flatMap((order) => order.lines.map((line) => ({ order, line })))
        if (rows.length > 0 || found.length < ORDERS) return rows
      }
    },
  }
})
