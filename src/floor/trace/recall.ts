// Where the containers of lots are: still here, on the road, at which account, or gone. What an account got first is taken to
// leave it first.
import type { LocalDate } from '../../planner/documents/index.ts'
import { filledPlace, keyOf, kindOf, type Place } from '../ledger/place.ts'
import { type CalledBack, type Out, stillToRecall } from './called-back.ts'
import { byTime, lotOf, type TracedEntry, type TraceLedger } from './trace-ledger.ts'

/** Whole containers of a lot; `filled` is the sum of all others. */
export interface RecalledLot {
  lotId: string
  /** Filled, there at the opening, or found. */
  filled: number
  here: number
  onRoad: number
  atAccounts: number
  /** Back from accounts, emptied or not, or lost there. */
  gone: number
  destroyed: number
  /** Own bar, samples, breakage. */
  issued: number
  /** Missing at a count. */
  lost: number
  /** Of those on the road and at accounts, so many have been called back. */
  recalled: number
}

/** Whole containers of a lot that left for an order line and were not brought back. */
export interface RecalledDelivery {
  lotId: string
  orderLineId: string
  /** Absent: none of it has arrived. */
  accountId?: string
  onRoad: number
  atAccount: number
  gone: number
  /** Of those on the road and at the account, those that have been called back, and the days on which the others left. */
  recalled: number
  toRecall: Out[]
  /** The day of the last dispatch. Absent: it was withdrawn, and the delivery stands. */
  dispatchedOn?: LocalDate
  /** The day of the last delivery. Absent: none of it has arrived. */
  deliveredOn?: LocalDate
}

export interface Recall {
  lots: RecalledLot[]
  /** In order of lot and order line. */
  deliveries: RecalledDelivery[]
  /** Whether all was read: false where there was more than `MOST_ENTRIES`. */
  isComplete: boolean
}

/** Most movements that are read of each kind of place. */
export const MOST_ENTRIES = 5000

/** Where the containers of lots are, by eight queries. */
export async function recallOf(lotIds: readonly string[], ledger: TraceLedger): Promise<Recall> {
  const most = MOST_ENTRIES
  const stores = lotIds.map(filledPlace)
  const [came, left] = [await ledger.into(stores, { most }), await ledger.outOf(stores, { most })]
  const roads = await ledger.roadsOf(lotIds)
  const [onto, off] = [await ledger.into(roads, { most }), await ledger.outOf(roads, { most })]
  const arrivals = off.filter(({ to }) => kindOf(to) === 'AT_ACCOUNT')
  const { standing, isComplete } = await standingAt(arrivals, ledger)
  const calledBack = await ledger.calledBack(lotIds)
  const deliveries = [...roads].sort().map((road) => delivery(road, { onto, off, standing, calledBack }))
  const lots = lotIds.map((lotId) => lotTotals(lotId, [...came, ...left, ...onto], deliveries))
  return {
    lots,
    deliveries: deliveries.filter(({ onRoad, atAccount, gone }) => onRoad + atAccount + gone > 0),
    isComplete: isComplete && [came, left, onto, off].every((each) => each.length < most),
  }
}

function isRoad(place: Place): boolean {
  return kindOf(place) === 'ON_ROAD'
}

/** How many of what arrived at accounts stand there still, by arrival: the newest that come to what the account holds. */
async function standingAt(
  arrivals: readonly TracedEntry[],
  ledger: TraceLedger,
): Promise<{ standing: ReadonlyMap<string, number>; isComplete: boolean }> {
  const places = [...new Set(arrivals.map(({ to }) => to))]
  const since = arrivals.reduce<LocalDate | undefined>(
    (first, { day }) => (first === undefined || day < first ? day : first),
    undefined,
  )
  const standing = new Map<string, number>()
  if (places.length === 0) return { standing, isComplete: true }
  const all = await ledger.into(places, { most: MOST_ENTRIES, since })
  const left = new Map(await ledger.held(places))
  for (const entry of [...all].sort((a, b) => byTime(b, a))) {
    const there = Math.min(entry.amount, left.get(entry.to) ?? 0)
    left.set(entry.to, (left.get(entry.to) ?? 0) - there)
    standing.set(keyOfEntry(entry), there)
  }
  return { standing, isComplete: all.length < MOST_ENTRIES }
}

function keyOfEntry({ revision, n }: TracedEntry): string {
  return `${revision}.${n}`
}

/** What is known of the roads on which lots have been. */
interface OfRoads {
  onto: readonly TracedEntry[]
  off: readonly TracedEntry[]
  /** Of arrivals, how many stand at the account still. */
  standing: ReadonlyMap<string, number>
  calledBack: readonly CalledBack[]
}

function delivery(road: Place, { onto, off, standing, calledBack }: OfRoads): RecalledDelivery {
  const [orderLineId = '', lotId = ''] = keyOf(road)
  const left = onto.filter(({ to }) => to === road)
  const ended = off.filter(({ from }) => from === road)
  const arrived = ended.filter(({ to }) => kindOf(to) === 'AT_ACCOUNT')
  const atAccount = arrived.reduce((total, entry) => total + (standing.get(keyOfEntry(entry)) ?? 0), 0)
  const sent = left.filter(({ from }) => kindOf(from) === 'FILLED').sort((a, b) => byTime(b, a))
  const [last] = arrived.sort((a, b) => byTime(b, a))
  const onRoad = sum(left) - sum(ended)
  const own = calledBack.filter((each) => each.orderLineId === orderLineId && each.lotId === lotId)
  const toRecall = stillToRecall(left, ended, (entry) => standing.get(keyOfEntry(entry)) ?? 0, own)
  return {
    ...{ lotId, orderLineId, onRoad, atAccount, gone: sum(arrived) - atAccount },
    ...{ toRecall, recalled: onRoad + atAccount - toRecall.reduce((total, { quantity }) => total + quantity, 0) },
    ...(sent[0] ? { dispatchedOn: sent[0].day } : {}),
    ...(last ? { accountId: keyOf(last.to)[0], deliveredOn: last.day } : {}),
  }
}

function lotTotals(
  lotId: string,
  entries: readonly TracedEntry[],
  deliveries: readonly RecalledDelivery[],
): RecalledLot {
  const store = filledPlace(lotId)
  const own = deliveries.filter((each) => each.lotId === lotId)
  const into = entries.filter(({ to, from }) => to === store && !isRoad(from))
  // What is said to have arrived without having left was found on the road.
  const found = entries.filter(({ to, from }) => isRoad(to) && lotOf(to) === lotId && from !== store)
  const out = entries.filter(({ from, to }) => from === store && !isRoad(to))
  const isLoss = ({ to }: TracedEntry) => to === 'LOST'
  const total = (key: 'onRoad' | 'atAccount' | 'gone' | 'recalled') => own.reduce((all, each) => all + each[key], 0)
  const filled = sum(into) + sum(found)
  const [onRoad, atAccounts, gone] = [total('onRoad'), total('atAccount'), total('gone')]
  return {
    ...{ lotId, filled, here: filled - sum(out) - onRoad - atAccounts - gone, onRoad, atAccounts, gone },
    destroyed: sum(out.filter(({ kind }) => kind === 'LOT_DESTROYED')),
    issued: sum(out.filter((entry) => entry.kind !== 'LOT_DESTROYED' && !isLoss(entry))),
    lost: sum(out.filter(isLoss)),
    recalled: total('recalled'),
  }
}

function sum(entries: readonly TracedEntry[]): number {
  return entries.reduce((total, { amount }) => total + amount, 0)
}
