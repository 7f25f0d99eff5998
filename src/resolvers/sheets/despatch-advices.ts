// What left for an order on a day, as a despatch advice says it: from the facts that count, so that a correction shows.
import { z } from 'zod'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { inTransaction } from '../../database/transaction.ts'
import { NotFound } from '../../errors.ts'
import { type LocalDate, localDate, localDateOf, wallClock } from '../../planner/documents/index.ts'
import { EFFECTIVE, factOf } from '../../records/fact-rows.ts'
import { groupBy } from '../../records/group.ts'
import { byId } from '../../records/sheet-records.ts'
import type { DespatchAdvice, DespatchLine, Named } from '../../ubl/despatch-advice.ts'
import { LINE_MARK } from '../../ubl/order-line.ts'
import type { Actor } from '../actor.ts'
import { encodeGlobalId } from '../global-id.ts'
import { parseInput } from '../parse-input.ts'

/** One of the advices of a day. */
export interface ListedAdvice {
  /** The document's address is /export/despatch-advices/<name>.xml. */
  name: string
  order: { externalRef: string | null; number: number }
  account: { externalRef: string | null; name: string }
  /** Whole containers. */
  containers: number
}

const WITH_ORDER = {
  order: { include: { account: true } },
  pack: { include: { beer: true, containerType: true } },
} satisfies Prisma.OrderLineInclude
type LineRow = Prisma.OrderLineGetPayload<{ include: typeof WITH_ORDER }>

/** So many of a lot that left for a line, as a fact has it. */
interface Left {
  line: LineRow
  lotId: string
  siteId: string
  quantity: number
  recordedAt: Date
}

/** What left on a day, by order. Throws `InvalidInput`. */
export async function listDespatchAdvices(
  { client, distributorId }: Actor,
  input: unknown,
): Promise<{ day: LocalDate; despatchAdvices: ListedAdvice[] }> {
  const { day } = parseInput(z.strictObject({ day: localDate }), input)
  const left = await inTransaction(client, (tx) => readLeft(tx, distributorId, day), 'RepeatableRead')
  const despatchAdvices = grouped(left, ({ line }) => line.orderId).flatMap((each): ListedAdvice[] => {
    const [first] = each
    if (!first) return []
    const { number, externalRef, account } = first.line.order
    return [
      {
        ...{ name: nameOf(number, day), order: { externalRef, number } },
        account: { externalRef: account.externalRef, name: account.name },
        containers: each.reduce((sum, { quantity }) => sum + quantity, 0),
      },
    ]
  })
  return { day, despatchAdvices: despatchAdvices.sort((a, b) => a.order.number - b.order.number) }
}

/** The advice of a name. Throws `NotFound`. */
export async function readDespatchAdvice({ client, distributorId }: Actor, name: string): Promise<DespatchAdvice> {
  const [, number = '0', date = ''] = /^(\d{1,9})-([\d-]+)$/.exec(name) ?? []
  const day = localDate.safeParse(date).data
  if (day === undefined) throw new NotFound('DespatchAdvice', name)
  return inTransaction(
    client,
    async (tx) => {
      const left = await readLeft(tx, distributorId, day, Number(number))
      const [first] = left
      if (!first) throw new NotFound('DespatchAdvice', name)
      return adviceOf(tx, distributorId, { name, day, first, left })
    },
    'RepeatableRead',
  )
}

function grouped(left: readonly Left[], key: (each: Left) => string): Left[][] {
  return [...new Set(left.map(key))].map(groupBy(left, key))
}

const nameOf = (orderNumber: number, day: LocalDate) => `${orderNumber}-${day}`

/** What left on a day, for one order or for all. What is only due has not left. */
async function readLeft(
  tx: TransactionClient,
  distributorId: string,
  day: LocalDate,
  number?: number,
): Promise<Left[]> {
  const rows = await tx.fact.findMany({
    where: { distributorId, kind: 'DISPATCHED', on: dateOf(day), due: false, ...EFFECTIVE },
    orderBy: { number: 'asc' },
  })
  const facts = rows.flatMap((row) => {
    const fact = factOf(row)
    return fact.kind === 'DISPATCHED' ? [{ ...fact, recordedAt: row.recordedAt }] : []
  })
  const ids = [...new Set(facts.map(({ data }) => data.orderLineId))]
  const lines = byId(
    await tx.orderLine.findMany({
      where: { distributorId, id: { in: ids }, ...(number === undefined ? {} : { order: { is: { number } } }) },
      include: WITH_ORDER,
    }),
  )
  return facts.flatMap(({ data, siteId, recordedAt }) => {
    const line = lines.get(data.orderLineId)
    return line ? data.lots.map(({ lotId, quantity }) => ({ line, lotId, siteId, quantity, recordedAt })) : []
  })
}

async function adviceOf(
  tx: TransactionClient,
  distributorId: string,
  { name, day, first, left }: { name: string; day: LocalDate; first: Left; left: readonly Left[] },
): Promise<DespatchAdvice> {
  const { timeZone, ...supplier } = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  const lots = byId(
    await tx.stockLot.findMany({ where: { distributorId, id: { in: left.map(({ lotId }) => lotId) } } }),
  )
  const sites = byId(await tx.site.findMany({ where: { distributorId, id: { in: left.map(({ siteId }) => siteId) } } }))
  const { order } = first.line
  const saidAt = new Date(Math.max(...left.map(({ recordedAt }) => recordedAt.getTime())))
  const lines = grouped(left, ({ line, lotId }) => `${line.id}/${lotId}`).flatMap((each) => {
    const [one] = each
    const lot = lots.get(one?.lotId ?? '')
    return one && lot ? [despatchLine(one.line, lot, each)] : []
  })
  return {
    ...{ id: name, dispatchedOn: day, issuedOn: localDateOf(wallClock(saidAt.toISOString(), timeZone).day) },
    order: { reference: order.externalRef ?? String(order.number), number: order.number },
    supplier: { reference: supplier.id, name: supplier.name },
    customer: named('Account', order.account),
    sites: [...sites.values()].map((site) => named('Site', site)),
    lines: lines.sort((a, b) => a.lineNumber - b.lineNumber),
  }
}

function despatchLine(
  { externalRef, lineNumber, order, pack }: LineRow,
  { code, bestBefore }: { code: string; bestBefore: Date },
  left: readonly Left[],
): DespatchLine {
  const mark = `${order.externalRef}${LINE_MARK}`
  return {
    quantity: left.reduce((sum, { quantity }) => sum + quantity, 0),
    line: externalRef?.startsWith(mark) ? externalRef.slice(mark.length) : (externalRef ?? String(lineNumber)),
    ...{ lineNumber, pack: named('Pack', pack), beer: named('Beer', pack.beer) },
    containerType: named('ContainerType', pack.containerType),
    lot: { code, bestBefore: dayOf(bestBefore) },
  }
}

/** A thing by the caller's reference, or by its id in the API where it has none. */
function named(
  kind: string,
  { id, externalRef, name }: { id: string; externalRef: string | null; name: string },
): Named {
  return { reference: externalRef ?? encodeGlobalId(kind, id), name }
}
