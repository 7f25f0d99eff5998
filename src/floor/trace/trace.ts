// From a batch, a lot, a delivery or an account to everything that its beer went into and came from.
import type { LocalDate } from '../../planner/documents/index.ts'
import { filledPlace, keyOf, kindOf, type Place, packedPlace } from '../ledger/place.ts'
import { byTime, lotOf, type Reading, type TracedEntry, type TraceLedger } from './trace-ledger.ts'

/** Movements of beer from one thing to another: between batches, into a lot, onto the road, to an account. */
const FLOWS: readonly string[] = ['VESSEL>VESSEL', 'VESSEL>PACKED', 'FILLED>ON_ROAD', 'ON_ROAD>AT_ACCOUNT']

/** Where a thing stands in a trace: it was asked for, beer of it went into that, or it has beer of that. */
export type Relation = 'ASKED' | 'BEFORE' | 'AFTER'

export interface Step {
  relation: Exclude<Relation, 'ASKED'>
  entry: TracedEntry
}

export interface Trace {
  /** Every movement once for each relation, in the order of what happened. */
  steps: Step[]
  /** Every place that was reached; one that is reached both ways stands as BEFORE. */
  places: Map<Place, Relation>
  /** Whether all was followed: false where there was more than `MOST_STEPS`. */
  isComplete: boolean
}

/** Most movements that a trace follows. */
export const MOST_STEPS = 2000

/**
 * Follows beer from places, back to what went into it and on to what has it. Each way takes two queries for each link of the
 * longest chain: batch, blended batch, lot, delivery, account. `since` limits what came to the start, or left it, to days.
 */
export async function traceFrom(
  start: readonly Place[],
  ledger: TraceLedger,
  { since }: { since?: LocalDate | undefined } = {},
): Promise<Trace> {
  const asked = start.flatMap(withTwin)
  const before = await follow(asked, since, 'BEFORE', {
    read: (places, reading) => ledger.into(places, reading),
    beside: (places) => Promise.resolve(places.filter(isRoad).flatMap((road) => lotPlaces(lotOf(road)))),
  })
  const after = await follow(asked, since, 'AFTER', {
    read: (places, reading) => ledger.outOf(places, reading),
    beside: (places) => ledger.roadsOf(places.filter(isStore).flatMap((store) => lotOf(store) ?? [])),
  })
  const steps = [...before.steps, ...after.steps].sort((a, b) => byTime(a.entry, b.entry))
  const places = new Map<Place, Relation>(after.reached.map((place) => [place, 'AFTER']))
  for (const place of before.reached) places.set(place, 'BEFORE')
  for (const place of asked) places.set(place, 'ASKED')
  return { steps, places, isComplete: before.isComplete && after.isComplete }
}

/** The places of a kind that a trace has reached, with their keys. */
export function reached(
  { places }: Trace,
  kind: 'VESSEL' | 'FILLED' | 'ON_ROAD' | 'AT_ACCOUNT',
): { key: string[]; relation: Relation }[] {
  return [...places]
    .filter(([place]) => kindOf(place) === kind)
    .map(([place, relation]) => ({ key: keyOf(place), relation }))
}

/** One of the two directions through the ledger. */
interface Direction {
  read: (places: readonly Place[], reading: Reading) => Promise<TracedEntry[]>
  /** Places that hold beer of places, or whose beer they hold, whatever the entries say. */
  beside: (places: readonly Place[]) => Promise<Place[]>
}

async function follow(
  asked: readonly Place[],
  since: LocalDate | undefined,
  relation: Step['relation'],
  { read, beside }: Direction,
): Promise<{ steps: Step[]; reached: Place[]; isComplete: boolean }> {
  const seen = new Set(asked)
  const steps: Step[] = []
  for (let frontier = [...asked]; frontier.length > 0; ) {
    const left = MOST_STEPS - steps.length
    // Only what was asked for is limited to days: a lot may have been filled long before it was delivered.
    const found = await read(frontier, { most: left + 1, since: steps.length === 0 ? since : undefined })
    const flows = found.filter(isFlow).slice(0, left)
    steps.push(...flows.map((entry) => ({ relation, entry })))
    const next = flows.flatMap(({ from, to }) => withTwin(relation === 'BEFORE' ? from : to))
    frontier = [...new Set([...next, ...(await beside(frontier))])].filter((place) => !seen.has(place))
    for (const place of frontier) seen.add(place)
    if (found.length > left) return { steps, reached: [...seen], isComplete: false }
  }
  return { steps, reached: [...seen], isComplete: true }
}

function isFlow({ from, to, amount }: TracedEntry): boolean {
  return amount > 0 && FLOWS.includes(`${kindOf(from)}>${kindOf(to)}`)
}

/** A lot is in two places of the ledger: its beer and its containers. */
function withTwin(place: Place): Place[] {
  return kindOf(place) === 'PACKED' || isStore(place) ? lotPlaces(lotOf(place)) : [place]
}

function lotPlaces(lotId = ''): Place[] {
  return [filledPlace(lotId), packedPlace(lotId)]
}

const isRoad = (place: Place) => kindOf(place) === 'ON_ROAD'
const isStore = (place: Place) => kindOf(place) === 'FILLED'
