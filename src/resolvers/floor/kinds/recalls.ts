// The fact that beer was called back: what of a lot is on the road for an order line, or at its account.
import { z } from 'zod'
import { issue } from '../../../errors.ts'
import { recallOf } from '../../../floor/trace/recall.ts'
import type { LocalDate } from '../../../planner/documents/index.ts'
import { traceLedger } from '../../../records/trace-ledger.ts'
import { thingRef } from '../../thing-ref.ts'
import { type FactContext, factKind, type Meant, said, type Warning } from '../fact-kind.ts'
import { lotById } from './find.ts'
import { type FoundLine, findLots, findSentLine, lots, type NamedLot } from './order-lines.ts'

const recallShape = z.strictObject({
  ...said,
  orderLine: thingRef,
  lots,
  again: z.boolean(),
  why: z.string().min(1).max(500).optional(),
})

export const recalled = factKind({ shape: recallShape, mean: meanRecall })

async function meanRecall(
  context: FactContext,
  { orderLine, lots: given, again, why }: z.output<typeof recallShape>,
): Promise<Meant | undefined> {
  const line = await findSentLine(context, orderLine)
  if (!line) return undefined
  const named = await findLots(context, line, given)
  const [first] = named
  if (!first || named.length < given.length) return undefined
  const { siteId, site } = await lotById(context, first.lotId)
  const day = context.dayAt(site)
  if (again && line.status === 'CANCELLED') {
    const message = 'the line was cancelled: say `again: false`, or order the beer anew'
    context.note(issue(context.path('again'), 'STATUS_FORBIDS', message))
  }
  const lotIds = named.map(({ lotId }) => lotId)
  for (const [index, lotId] of lotIds.entries())
    if (lotIds.indexOf(lotId) < index)
      context.note(issue(context.path(`lots[${index}].lot`), 'DUPLICATE_ENTRY', 'the lot is named before'))
  const called = await calledBack(context, line, named, day)
  return {
    happened: {
      kind: 'RECALLED',
      data: { orderLineId: line.id, accountId: line.order.accountId, lots: called, again, why },
    },
    siteId,
    subjects: [
      { kind: 'ORDER_LINE', id: line.id },
      { kind: 'ACCOUNT', id: line.order.accountId },
      ...lotIds.map((id) => ({ kind: 'LOT' as const, id })),
    ],
    carriedOut: [],
    warnings: await notKeptBack(context, lotIds),
  }
}

/** What is called back of each lot, of what is on the road first. Notes where more is named than there is. */
async function calledBack(context: FactContext, line: FoundLine, named: readonly NamedLot[], day: LocalDate) {
  const { tx, distributorId, note, path } = context
  const { deliveries } = await recallOf(
    named.map(({ lotId }) => lotId),
    traceLedger(tx, distributorId),
  )
  return named.map(({ lotId, quantity, code }, index) => {
    const delivery = deliveries.find((each) => each.orderLineId === line.id && each.lotId === lotId)
    const out = delivery?.toRecall.filter(({ leftOn }) => leftOn <= day) ?? []
    const there = out.reduce((sum, each) => sum + each.quantity, 0)
    const onRoad = out.reduce((sum, each) => sum + each.onRoad, 0)
    if (quantity > there) {
      const before = delivery?.recalled ? `; ${delivery.recalled} were called back before` : ''
      const is = `${onRoad} of the lot ${code} are on the road for the line and ${there - onRoad} at the account${before}`
      note(issue(path(`lots[${index}].quantity`), 'MORE_THAN_OUT', is))
    }
    return { lotId, quantity, onRoad: Math.min(quantity, onRoad) }
  })
}

/** Warnings of lots that may still be sent out. */
async function notKeptBack({ tx, distributorId }: FactContext, lotIds: string[]): Promise<Warning[]> {
  const free = await tx.stockLot.findMany({
    where: { distributorId, id: { in: lotIds }, quarantined: false, quantity: { gt: 0 } },
    orderBy: { code: 'asc' },
  })
  return free.map(({ code, quantity }) => ({
    code: 'NOT_KEPT_BACK',
    message: `${quantity} of the lot ${code} stand at the site and may be sent out: quarantine the lot.`,
  }))
}
