// A recall list: where the containers of lots are, lot by lot and account by account.
import { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import { type RecalledDelivery, type RecalledLot, recallOf } from '../../floor/trace/recall.ts'
import { reached, traceFrom } from '../../floor/trace/trace.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import { traceLedger } from '../../records/trace-ledger.ts'
import type { Actor } from '../actor.ts'
import { readInput } from '../read-input.ts'
import { References } from '../thing-ref.ts'
import { atOneRevision, placesOfStart, since, type TraceStart, traceStart } from './trace-start.ts'

const shape = z.strictObject({ of: traceStart, since })

export { MOST_ENTRIES, type RecalledLot } from '../../floor/trace/recall.ts'

/** A delivery of a lot, with the account of its order where nothing has arrived. */
export type RecalledAtAccount = RecalledDelivery & { accountId: string }

/** What an account has to do with the lots; whole containers. */
export interface RecalledAccount {
  accountId: string
  onRoad: number
  atAccount: number
  gone: number
  /** Of those on the road and at the account, those that have been called back. */
  recalled: number
  deliveries: RecalledAtAccount[]
}

export interface RecallList {
  /** Whether all was read. */
  isComplete: boolean
  lots: RecalledLot[]
  /** The batches that it is of, and those that were blended from them. */
  batchIds: string[]
  /** Those that have most of it come first. */
  accounts: RecalledAccount[]
}

/** The recall list of a lot, of the lots of a batch, or of those that a delivery or an account had. Throws `InvalidInput`, `NotFound`. */
export function recall(actor: Actor, input: unknown): Promise<RecallList & { revision: number }> {
  const { distributorId } = actor
  const reading = readInput(shape, input)
  return atOneRevision(actor, async (tx, revision) => {
    const refs = new References(tx, distributorId)
    refs.take(reading)
    return { revision, ...(await recallIn(tx, distributorId, refs, reading.given)) }
  })
}

/** The same within a transaction; what is wrong is noted in `refs`, and thrown. */
export async function recallIn(
  tx: TransactionClient,
  distributorId: string,
  refs: References,
  asked: { of: TraceStart; since?: LocalDate | undefined },
): Promise<RecallList> {
  const ledger = traceLedger(tx, distributorId)
  const start = await placesOfStart(tx, distributorId, refs, asked.of, 'of')
  const traced = await traceFrom(start, ledger, asked)
  const lotIds = [...new Set(reached(traced, 'FILLED').map(({ key: [lotId = ''] }) => lotId))].sort()
  const batchIds = reached(traced, 'VESSEL').flatMap(({ key: [id = ''], relation }) =>
    relation === 'BEFORE' ? [] : [id],
  )
  const { lots, deliveries, isComplete } = await recallOf(lotIds, ledger)
  const lines = await tx.orderLine.findMany({
    where: { distributorId, id: { in: deliveries.map(({ orderLineId }) => orderLineId) } },
    select: { id: true, order: { select: { accountId: true } } },
  })
  const ordered = new Map(lines.map(({ id, order }) => [id, order.accountId]))
  const known = deliveries.map((each) => ({
    ...each,
    accountId: each.accountId ?? ordered.get(each.orderLineId) ?? '',
  }))
  return { lots, batchIds, accounts: byAccount(known), isComplete: isComplete && traced.isComplete }
}

function byAccount(deliveries: readonly RecalledAtAccount[]): RecalledAccount[] {
  const accounts = new Map<string, RecalledAccount>()
  for (const each of deliveries) {
    const { accountId, onRoad, atAccount, gone, recalled } = each
    const so = accounts.get(accountId) ?? { onRoad: 0, atAccount: 0, gone: 0, recalled: 0, deliveries: [] }
    accounts.set(accountId, {
      ...{ accountId, onRoad: so.onRoad + onRoad, atAccount: so.atAccount + atAccount, gone: so.gone + gone },
      recalled: so.recalled + recalled,
      deliveries: [...so.deliveries, each],
    })
  }
  const reachable = ({ onRoad, atAccount }: RecalledAccount) => onRoad + atAccount
  return [...accounts.values()].sort((a, b) => reachable(b) - reachable(a) || (a.accountId < b.accountId ? -1 : 1))
}
