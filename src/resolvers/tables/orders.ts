// Orders as a table: a row for each line that was not cancelled, in order of their numbers.
import { z } from 'zod'
import type { Actor } from '../actor.ts'
import { orderWhere } from '../orders/order-filter.ts'
import { type Column, instantOwn, named, own, tableOf } from './table.ts'

/** Orders of one page; each has some lines. */
const ORDERS = 100

const day = z.string().nullable()
const count = z.int()
const rowShape = z.object({
  ...{ number: count, externalRef: z.string().nullable(), note: z.string().nullable() },
  ...{ accountId: z.string(), accountRef: z.string().nullable(), accountName: z.string(), isPromised: z.boolean() },
  ...{ lineExternalRef: z.string().nullable(), packId: z.string(), packRef: z.string().nullable() },
  ...{ quantity: count, serveOn: z.string(), latestServeOn: day, priority: count, splittable: z.boolean() },
  ...{ status: z.string(), promisedOn: day, dispatched: count, delivered: count },
  ...{ placedAt: z.date(), updatedAt: z.date() },
})
type Row = z.output<typeof rowShape>

/** What an order says when it is placed, and behind it what has become of it. */
const COLUMNS: readonly Column<Row>[] = [
  ...own('externalRef'),
  { name: 'account', of: ({ accountId: id, accountRef: externalRef }) => named('Account', { id, externalRef }) },
  // Where the order is sent back changed: no later day where something was promised, as a wish where nothing was.
  { name: 'accept', of: ({ isPromised }) => (isPromised ? 'ON_TIME_ONLY' : 'AS_DEMAND') },
  ...own('note', 'lineExternalRef'),
  { name: 'pack', of: ({ packId: id, packRef: externalRef }) => named('Pack', { id, externalRef }) },
  ...own('quantity', 'serveOn', 'latestServeOn', 'priority', 'splittable'),
  ...own('number', 'accountName', 'status', 'promisedOn', 'dispatched', 'delivered'),
  ...[instantOwn('placedAt'), instantOwn('updatedAt')],
]

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
      ...{ orderBy: { number: 'asc' }, take: ORDERS, select: { id: true, number: true } },
    })
  return {
    count: await client.orderLine.count({ where: { order: where } }),
    page: async (after) => {
      // Orders of which all lines were cancelled have no rows: a page of nothing else is not the end.
      for (let found = await behind(after?.number ?? 0); ; found = await behind(found.at(-1)?.number ?? 0)) {
        const rows = await readRows(
          actor,
          found.map(({ id }) => id),
        )
        if (rows.length > 0 || found.length < ORDERS) return rows
      }
    },
  }
})

/** The rows of some orders, flat: of rows within rows the client keeps so much until memory is cleared away that thousands of pages fill it. */
async function readRows({ client, distributorId }: Actor, ids: string[]): Promise<Row[]> {
  return z.array(rowShape).parse(
    await client.$queryRaw`
      SELECT o."number", o."externalRef", o."note", a."id" AS "accountId", a."externalRef" AS "accountRef", a."name" AS "accountName",
        bool_or(l."promisedOn" IS NOT NULL) OVER (PARTITION BY o."id") AS "isPromised",
        l."externalRef" AS "lineExternalRef", p."id" AS "packId", p."externalRef" AS "packRef", l."quantity", l."serveOn"::text,
        l."latestServeOn"::text, l."priority", l."splittable", l."status"::text, l."promisedOn"::text, l."dispatched", l."delivered",
        o."placedAt", o."updatedAt"
      FROM "Order" o
        JOIN "Account" a ON a."distributorId" = o."distributorId" AND a."id" = o."accountId"
        JOIN "OrderLine" l ON l."distributorId" = o."distributorId" AND l."orderId" = o."id" AND l."status" <> 'CANCELLED'
        JOIN "Pack" p ON p."distributorId" = l."distributorId" AND p."id" = l."packId"
      WHERE o."distributorId" = ${distributorId} AND o."id" = ANY(${ids}::text[])
      ORDER BY o."number", l."lineNumber"`,
  )
}
