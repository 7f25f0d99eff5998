// Where a trace or a recall starts: one thing, as inputs name it, and the places of the ledger that are of it.
import type { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import { filledPlace, type Place, vesselPlace } from '../../floor/ledger/place.ts'
import { localDate } from '../../planner/documents/index.ts'
import type { Actor } from '../actor.ts'
import { oneOf } from '../one-of.ts'
import { orderRef, type References, thingRef } from '../thing-ref.ts'
import { findLotByCode, lotCodeText } from './lot-by-code.ts'

/** Exactly one thing. */
export const traceStart = oneOf({
  lot: thingRef,
  lotCode: lotCodeText,
  batch: thingRef,
  orderLine: thingRef,
  order: orderRef,
  account: thingRef,
})

/** From which day on it is asked for. */
export const since = localDate.optional()

export type TraceStart = z.output<typeof traceStart>

/** Answers from the records as they are at one revision. */
export function atOneRevision<Answer>(
  { client, distributorId }: Actor,
  work: (tx: TransactionClient, revision: number) => Promise<Answer>,
): Promise<Answer> {
  return client.$transaction(
    async (tx) => {
      const { revision } = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
      return work(tx, revision)
    },
    { isolationLevel: 'RepeatableRead' },
  )
}

/** The places of the ledger at which a trace starts, which the input names at `path`. Throws `InvalidInput`, `NotFound`. */
export async function placesOfStart(
  tx: TransactionClient,
  distributorId: string,
  refs: References,
  { lot, lotCode, batch, orderLine, order, account }: TraceStart,
  path: string,
): Promise<Place[]> {
  const idOf = async (
    kind: 'StockLot' | 'Batch' | 'OrderLine' | 'Account',
    ref: z.output<typeof thingRef>,
    at: string,
  ) => (await refs.subject(kind, ref, `${path}.${at}`))?.id ?? ''
  const lotId = lot && (await idOf('StockLot', lot, 'lot'))
  const ofCode = lotCode && (await findLotByCode(tx, distributorId, refs, lotCode, `${path}.lotCode`))
  const batchId = batch && (await idOf('Batch', batch, 'batch'))
  const lineId = orderLine && (await idOf('OrderLine', orderLine, 'orderLine'))
  const accountId = account && (await idOf('Account', account, 'account'))
  const orderId = order && (await refs.order(order, `${path}.order`))
  refs.settle()
  const lines = orderId ? await tx.orderLine.findMany({ where: { distributorId, orderId }, select: { id: true } }) : []
  const prefixes = [
    ...[...lines.map(({ id }) => id), ...(lineId ? [lineId] : [])].map((id) => `ON_ROAD|${id}|`),
    ...(accountId ? [`AT_ACCOUNT|${accountId}|`] : []),
  ]
  return [
    ...[lotId, ofCode].flatMap((id) => (id ? [filledPlace(id)] : [])),
    ...(batchId ? [vesselPlace(batchId)] : []),
    ...(await placesBeginning(tx, distributorId, prefixes)),
  ]
}

async function placesBeginning(tx: TransactionClient, distributorId: string, prefixes: string[]): Promise<Place[]> {
  if (prefixes.length === 0) return []
  const rows = await tx.placeBalance.findMany({
    where: { distributorId, OR: prefixes.map((startsWith) => ({ place: { startsWith } })) },
    orderBy: { place: 'asc' },
  })
  // The database takes some signs of an id for any sign.
  return rows.map(({ place }) => place).filter((place) => prefixes.some((prefix) => place.startsWith(prefix)))
}
