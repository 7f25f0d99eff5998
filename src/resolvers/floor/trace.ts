// From a lot, a batch, a delivery or an account to everything that its beer went into and came from.
import { z } from 'zod'
import type { FactKind } from '../../floor/facts/fact.ts'
import { keyOf, kindOf, type Place } from '../../floor/ledger/place.ts'
import { MOST_STEPS, type Relation, reached, type Trace, traceFrom } from '../../floor/trace/trace.ts'
import { lotOf } from '../../floor/trace/trace-ledger.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import { traceLedger } from '../../records/trace-ledger.ts'
import type { Actor } from '../actor.ts'
import { readInput } from '../read-input.ts'
import { References } from '../thing-ref.ts'
import { atOneRevision, placesOfStart, since, traceStart } from './trace-start.ts'

export type { Relation } from '../../floor/trace/trace.ts'

/** Most movements, and things of a kind, that a trace has: of each direction so many. */
export const MOST_TRACED = 2 * MOST_STEPS

const shape = z.strictObject({ by: traceStart, since })

/** A thing of a kind with where it stands in a trace. */
export interface TracedThing {
  id: string
  relation: Relation
}

/** Containers of a lot that left for an order line; whole containers. */
export interface TracedDelivery {
  orderLineId: string
  lotId: string
  relation: Relation
  dispatched: number
  delivered: number
}

/** A movement of beer: what it left and where it came; millilitres or containers. */
export interface TracedStep {
  relation: Relation
  kind: FactKind
  on: LocalDate
  factId: string
  millilitres?: number
  containers?: number
  fromBatchId?: string
  toBatchId?: string
  lotId?: string
  orderLineId?: string
  accountId?: string
}

export interface TraceView {
  /** The revision of the records. */
  revision: number
  isComplete: boolean
  batches: TracedThing[]
  lots: TracedThing[]
  deliveries: TracedDelivery[]
  accounts: TracedThing[]
  steps: TracedStep[]
}

/** Traces. Throws `InvalidInput`, `NotFound`. */
export function trace(actor: Actor, input: unknown): Promise<TraceView> {
  const { distributorId } = actor
  const reading = readInput(shape, input)
  return atOneRevision(actor, async (tx, revision) => {
    const refs = new References(tx, distributorId)
    refs.take(reading)
    const { by, since: from } = reading.given
    const start = await placesOfStart(tx, distributorId, refs, by, 'by')
    return viewOf(await traceFrom(start, traceLedger(tx, distributorId), { since: from }), revision)
  })
}

function viewOf(traced: Trace, revision: number): TraceView {
  const things = (kind: 'VESSEL' | 'FILLED' | 'AT_ACCOUNT') => [
    ...new Map(reached(traced, kind).map(({ key: [id = ''], relation }) => [id, { id, relation }])).values(),
  ]
  // A movement that stands in both directions counts once.
  const entries = new Map(traced.steps.map(({ entry }) => [`${entry.factId} ${entry.revision}.${entry.n}`, entry]))
  const moved = { from: new Map<Place, number>(), to: new Map<Place, number>() }
  for (const { from, to, amount } of entries.values()) {
    moved.from.set(from, (moved.from.get(from) ?? 0) + amount)
    moved.to.set(to, (moved.to.get(to) ?? 0) + amount)
  }
  return {
    revision,
    isComplete: traced.isComplete,
    batches: things('VESSEL'),
    lots: things('FILLED'),
    deliveries: [...traced.places].flatMap(([place, relation]) => {
      const [orderLineId = '', lotId = ''] = kindOf(place) === 'ON_ROAD' ? keyOf(place) : []
      if (lotId === '') return []
      return [
        { orderLineId, lotId, relation, dispatched: moved.to.get(place) ?? 0, delivered: moved.from.get(place) ?? 0 },
      ]
    }),
    accounts: things('AT_ACCOUNT'),
    steps: traced.steps.map(stepOf),
  }
}

function stepOf({ relation, entry }: Trace['steps'][number]): TracedStep {
  const { from, to, unit, amount, kind, day: on, factId } = entry
  const ends = [from, to].map((place) => ({ place, kind: kindOf(place), key: keyOf(place) }))
  const road = ends.find((each) => each.kind === 'ON_ROAD')
  const lotId = lotOf(from) ?? lotOf(to)
  return {
    ...{ relation, kind, on, factId },
    ...(unit === 'MILLILITRES' ? { millilitres: amount } : { containers: amount }),
    ...(ends[0]?.kind === 'VESSEL' ? { fromBatchId: ends[0].key[0] } : {}),
    ...(ends[1]?.kind === 'VESSEL' ? { toBatchId: ends[1].key[0] } : {}),
    ...(lotId === undefined ? {} : { lotId }),
    ...(road ? { orderLineId: road.key[0] } : {}),
    ...(ends[1]?.kind === 'AT_ACCOUNT' ? { accountId: ends[1].key[0] } : {}),
  }
}
