// A recall in one act: lots are kept back, what is on the road or at accounts is called back, the plan in force is repaired, and a
// draft is begun that replaces what was promised. Asked again it calls back what is new.
import { z } from 'zod'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { encodeGlobalId } from '../global-id.ts'
import { oneOf } from '../one-of.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { beginDraft } from '../plans/draft-plan.ts'
import { effortUpTo, MOST_SECONDS, MOST_STEPS, seedShape } from '../plans/effort.ts'
import { tooMany } from '../plans/unfinished.ts'
import { type Reading, readInput } from '../read-input.ts'
import { References, thingRef } from '../thing-ref.ts'
import { lotCodeText } from './lot-by-code.ts'
import { type RecallList, recallIn } from './recall.ts'
import { type Recorded, readFact, recordItems } from './record-facts.ts'
import type { Repaired } from './repair-plan.ts'
import { since } from './trace-start.ts'

const shape = z.strictObject({
  of: oneOf({ lot: thingRef, lotCode: lotCodeText, batch: thingRef }),
  since,
  again: z.boolean(),
  why: z.string().min(1).max(500).optional(),
  effort: effortUpTo(MOST_SECONDS, MOST_STEPS),
  seed: seedShape,
})

type Given = z.output<typeof shape>

/** Most lots of a recall that one fact names. */
const LOTS_OF_A_FACT = 100

/** Containers of a lot that an account is to give back, or that are on the road to it. */
export interface LotToCall {
  lotId: string
  orderLineId: string
  onRoad: number
  atAccount: number
}

/** Whom to ring, and what to say. */
export interface AccountToCall {
  accountId: string
  onRoad: number
  atAccount: number
  /** Whether as many are sent again. */
  again: boolean
  lots: LotToCall[]
}

/** What a recall answers. */
export interface DraftedRecall extends Recorded {
  /** What was called back by it; what was called back before is not among it. Those that have most of it come first. */
  toCall: AccountToCall[]
  /** Lots and batches that it kept back; those that were before are not among them. */
  keptBackLotIds: string[]
  keptBackBatchIds: string[]
  /** Whole containers that were called back before, and are out still. */
  calledBefore: number
  again: boolean
  /** The recall list since. */
  list: RecallList
  /** The draft. Absent: none was begun, for the reason beside it. */
  planId?: string
  noDraft?: 'NOTHING_NEW' | 'NO_PLAN' | 'TOO_MANY_UNFINISHED'
}

/** Throws `InvalidInput` with all that is wrong, `NotFound`. What has been called back and kept back already stays so. */
export async function draftRecall(actor: PlanningActor, input: unknown, saidBy: string): Promise<DraftedRecall> {
  const reading = readInput(shape, input)
  const { result, revision, epoch } = await withDistributorLock(actor, actor.distributorId, (locked) =>
    recallLocked(actor, locked, reading, saidBy),
  ).catch((error: unknown) => {
    throw refusedByDatabase(error) ?? error
  })
  const { snapshot, ...drafted } = result
  if (snapshot) actor.snapshots.keep({ ...snapshot, revision, epoch })
  if (drafted.planId !== undefined) actor.jobs.wake()
  return { revision, ...drafted }
}

async function recallLocked(
  actor: PlanningActor,
  locked: Locked,
  reading: Reading<Given>,
  saidBy: string,
): Promise<Omit<DraftedRecall, 'revision'> & { snapshot?: Repaired['snapshot'] }> {
  const { tx } = locked
  const { distributorId } = actor
  const { given } = reading
  const refs = new References(tx, distributorId)
  refs.take(reading)
  const before = await recallIn(tx, distributorId, refs, given)
  const keptBack = await toKeepBack(locked, distributorId, before, given.of.batch !== undefined)
  const toCall = toBeCalled(before, given)
  const facts = [...keepingBack(keptBack, given), ...(await callingBack(locked, distributorId, toCall, given))]
  const called = before.lots.reduce((sum, { recalled }) => sum + recalled, 0)
  const common = {
    ...{ toCall, keptBackLotIds: keptBack.lotIds, keptBackBatchIds: keptBack.batchIds },
    ...{ calledBefore: called, again: given.again },
  }
  const items = facts.map((fact) => readFact(fact, 'of'))
  const recorded = await recordItems(actor, locked, refs, items, saidBy)
  if (items.length === 0) return { ...recorded, ...common, list: before, noDraft: 'NOTHING_NEW' }
  const list = await recallIn(tx, distributorId, refs, given)
  return { ...recorded, ...common, list, ...(await draftOf(actor, locked, given, recorded)) }
}

/** Begins the draft, unless there is no plan to replace or too much is being solved: what was called back stays so. */
async function draftOf(
  actor: PlanningActor,
  locked: Locked,
  { effort, seed }: Given,
  { repaired }: Pick<Recorded, 'repaired'>,
): Promise<Pick<DraftedRecall, 'planId' | 'noDraft'>> {
  if (!repaired) return { noDraft: 'NO_PLAN' }
  if (await tooMany(locked.tx, actor.distributorId)) return { noDraft: 'TOO_MANY_UNFINISHED' }
  return { planId: await beginDraft(actor, locked, { effort, seed }) }
}

/** What is to be kept back: lots, and batches that still hold the beer where the recall is of a batch. */
async function toKeepBack(
  { tx }: Locked,
  distributorId: string,
  { lots, batchIds }: RecallList,
  isOfBatch: boolean,
): Promise<{ lotIds: string[]; batchIds: string[] }> {
  const free = { distributorId, quarantined: false }
  const ofLots = { ...free, id: { in: lots.map(({ lotId }) => lotId) } }
  const foundLots = await tx.stockLot.findMany({ where: ofLots, select: { id: true }, orderBy: { code: 'asc' } })
  const ofBatches = { ...free, id: { in: isOfBatch ? batchIds : [] }, emptiedOn: null }
  const foundBatches = await tx.batch.findMany({ where: ofBatches, select: { id: true }, orderBy: { code: 'asc' } })
  return { lotIds: foundLots.map(({ id }) => id), batchIds: foundBatches.map(({ id }) => id) }
}

function keepingBack(
  { lotIds, batchIds }: { lotIds: string[]; batchIds: string[] },
  { why }: Given,
): Record<string, unknown>[] {
  return [
    ...batchIds.map((id) => ({ batchQuarantined: { batch: { id: encodeGlobalId('Batch', id) }, why } })),
    ...lotIds.map((id) => ({ lotQuarantined: { lot: { id: encodeGlobalId('StockLot', id) }, why } })),
  ]
}

/** By account what is on the road or there, and was not called back before. */
function toBeCalled({ accounts }: RecallList, { again }: Given): AccountToCall[] {
  return accounts.flatMap(({ accountId, deliveries }) => {
    const lots = deliveries.flatMap(({ lotId, orderLineId, toRecall }) => {
      const onRoad = toRecall.reduce((sum, each) => sum + each.onRoad, 0)
      const atAccount = toRecall.reduce((sum, each) => sum + each.quantity, 0) - onRoad
      return onRoad + atAccount > 0 ? [{ lotId, orderLineId, onRoad, atAccount }] : []
    })
    const total = (key: 'onRoad' | 'atAccount') => lots.reduce((sum, each) => sum + each[key], 0)
    return lots.length > 0 ? [{ accountId, onRoad: total('onRoad'), atAccount: total('atAccount'), again, lots }] : []
  })
}

/** The facts that call it back, line by line; for a line that was cancelled nothing is sent again. */
async function callingBack(
  { tx }: Locked,
  distributorId: string,
  toCall: readonly AccountToCall[],
  { again, why }: Given,
): Promise<Record<string, unknown>[]> {
  const byLine = new Map<string, LotToCall[]>()
  for (const each of toCall.flatMap(({ lots }) => lots))
    byLine.set(each.orderLineId, [...(byLine.get(each.orderLineId) ?? []), each])
  const cancelled = await tx.orderLine.findMany({
    where: { distributorId, id: { in: [...byLine.keys()] }, status: 'CANCELLED' },
    select: { id: true },
  })
  const isCancelled = new Set(cancelled.map(({ id }) => id))
  return [...byLine].flatMap(([lineId, lots]) =>
    inParts(lots, LOTS_OF_A_FACT).map((part) => ({
      recalled: {
        orderLine: { id: encodeGlobalId('OrderLine', lineId) },
        lots: part.map(({ lotId, onRoad, atAccount }) => ({
          lot: { id: encodeGlobalId('StockLot', lotId) },
          quantity: onRoad + atAccount,
        })),
        again: again && !isCancelled.has(lineId),
        why,
      },
    })),
  )
}

function inParts<Each>(list: readonly Each[], most: number): Each[][] {
  return Array.from({ length: Math.ceil(list.length / most) }, (_, n) => list.slice(n * most, (n + 1) * most))
}
