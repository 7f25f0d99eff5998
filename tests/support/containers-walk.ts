// A brute-force walk over the ledger that follows every container by itself: those that came to a place first leave it first.
import { kindOf, type Place } from '../../src/floor/ledger/place.ts'
import { byTime, type TracedEntry } from '../../src/floor/trace/trace-ledger.ts'

/** A container that left for an order line. */
export interface Container {
  road: Place
  leftOn: string
}

/** The containers that are on a road or at an account, in the order in which they left. */
export function containersOut(entries: readonly TracedEntry[]): Container[] {
  const all = [...[...follow(entries).onRoad.values()].flat(), ...containersAtAccounts(entries)]
  return all.sort((a, b) => (a.leftOn === b.leftOn ? 0 : a.leftOn < b.leftOn ? -1 : 1))
}

/** Each container that stands at an account and came by a road. */
export function containersAtAccounts(entries: readonly TracedEntry[]): Container[] {
  return [...follow(entries).atAccount.values()].flat().filter(({ road }) => road !== '')
}

/** Where containers are, container by container: the first to come is the first to leave. */
function follow(entries: readonly TracedEntry[]) {
  const onRoad = new Map<Place, Container[]>()
  const queues = new Map<Place, Container[]>()
  const isAccount = (place: Place) => kindOf(place) === 'AT_ACCOUNT'
  const isRoad = (place: Place) => kindOf(place) === 'ON_ROAD'
  // What is found missing was there just before it left.
  const isIn = ({ to }: TracedEntry) => (isRoad(to) ? 0 : isAccount(to) ? 1 : 2)
  const ordered = entries
    .filter(({ unit }) => unit === 'CONTAINERS')
    .sort((a, b) => (a.factId === b.factId ? isIn(a) - isIn(b) || byTime(a, b) : byTime(a, b)))
  for (const { from, to, amount, day } of ordered) {
    const moving = (onRoad.get(from) ?? queues.get(from))?.splice(0, amount) ?? []
    const came = Array.from({ length: amount }, (_, n) => moving[n] ?? { road: '', leftOn: day })
    if (isRoad(to)) onRoad.set(to, [...(onRoad.get(to) ?? []), ...came.map(() => ({ road: to, leftOn: day }))])
    else if (isAccount(to)) queues.set(to, [...(queues.get(to) ?? []), ...came])
  }
  return { onRoad, atAccount: queues }
}
