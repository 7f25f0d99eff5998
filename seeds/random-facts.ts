// Random histories of a small cellar: brews, fills, dispatches, deliveries, returns, counts, said late, out of order and
// corrected. Nothing keeps them sensible: more is filled than there was, and what never came is sent out.
import { type Fact, type FactBase, happenedShape } from '../src/floor/facts/fact.ts'
import { addDays } from '../src/planner/documents/index.ts'
import type { Random } from './random.ts'

const FIRST_DAY = '2027-02-01'
const BATCHES = ['batch-a', 'batch-b', 'batch-c']
const LOTS = ['lot-a', 'lot-b', 'lot-c', 'lot-d']
const LINES = ['line-a', 'line-b', 'line-c']
const ACCOUNTS = ['account-a', 'account-b']
const FLEET = { siteId: 'site', typeId: 'firkin' }
const FIRKIN_ML = 40_900
const START = { vesselId: 'vessel', readyAt: '2027-02-10T08:00:00Z', primable: true, quarantined: false }

/** A fact that is said, with the one that it replaces or withdraws. */
export interface Said {
  fact?: Fact
  gone: string[]
}

/** So many acts, each a new fact or a correction of an earlier one. */
export function randomHistory(random: Random, acts: number): Said[] {
  const effective: Fact[] = []
  return Array.from({ length: acts }, (_, n): Said => {
    const corrects = effective.length > 0 && random.chance(0.25)
    const gone = corrects ? effective.splice(random.int(0, effective.length - 1), 1) : []
    const withdrawn = corrects && random.chance(0.4)
    const fact = withdrawn ? undefined : randomFact(random, n + 1, gone[0])
    if (fact) effective.push(fact)
    return { fact, gone: gone.map(({ id }) => id) }
  })
}

function randomFact(random: Random, n: number, original?: Fact): Fact {
  const base: FactBase = {
    id: `fact-${n}`,
    siteId: 'site',
    // Mostly a little later than the one before, often late.
    day:
      original && random.chance(0.5)
        ? original.day
        : addDays(FIRST_DAY, Math.max(0, Math.floor(n / 6) - random.int(0, 8))),
    recorded: n,
    assumed: false,
  }
  return { ...base, ...happenedShape.parse(random.pick(KINDS)(random)) }
}

const lots = (random: Random) => [{ lotId: random.pick(LOTS), quantity: random.int(1, 30) }]
const travel = (random: Random) => ({
  ...{ orderLineId: random.pick(LINES), accountId: random.pick(ACCOUNTS), lots: lots(random) },
  ...FLEET,
})

const KINDS: readonly ((random: Random) => object)[] = [
  (random) => ({
    kind: 'BATCH_OPENING',
    data: { batchId: random.pick(BATCHES), ml: random.int(0, 3_000_000), start: START },
  }),
  (random) => ({ kind: 'FLEET_OPENING', data: { ...FLEET, quantity: random.int(0, 100) } }),
  (random) => ({
    kind: 'LOT_OPENING',
    data: { lotId: random.pick(LOTS), ...FLEET, quantity: random.int(0, 40), nominalMl: FIRKIN_ML },
  }),
  (random) => {
    const ml = random.int(100_000, 2_000_000)
    const data = {
      batchId: random.pick(BATCHES),
      beerId: 'beer',
      vesselId: 'vessel',
      ml,
      trubMl: Math.floor(ml / 20),
      start: START,
    }
    return { kind: 'BREWED', data }
  },
  (random) => ({
    kind: 'FILLED',
    data: {
      ...{ batchId: random.pick(BATCHES), packId: 'pack', lotId: random.pick(LOTS), ...FLEET },
      ...{ quantity: random.int(0, 40), nominalMl: FIRKIN_ML, overfillMl: 409, spoiled: random.int(0, 2) },
      ...{ setUpMl: 5_000, lostMl: random.int(0, 3_000), emptied: random.chance(0.3), quarantined: false },
      from: random.pick(['FERMENTER', 'BRIGHT']),
    },
  }),
  (random) => ({
    kind: 'DUMPED',
    data: { batchId: random.pick(BATCHES), ml: random.int(0, 200_000), all: random.chance(0.3), from: 'FERMENTER' },
  }),
  (random) => ({
    kind: 'TRANSFERRED',
    data: { batchId: random.pick(BATCHES), fromVesselId: 'vessel', toVesselId: 'bright', ml: random.int(0, 1_000_000) },
  }),
  (random) => ({
    kind: 'PART_TRANSFERRED',
    data: {
      batchId: 'batch-a',
      newBatchId: 'batch-b',
      toVesselId: 'bright',
      ml: random.int(1, 500_000),
      emptied: random.chance(0.2),
      start: START,
    },
  }),
  (random) => ({
    kind: 'DISPATCHED',
    data: { ...travel(random), routeId: 'route', serveOn: '2027-03-01', short: 0 },
  }),
  (random) => ({ kind: 'DELIVERED', data: travel(random) }),
  (random) => ({ kind: 'REFUSED', data: { ...travel(random), fit: random.chance(0.5), again: random.chance(0.5) } }),
  (random) => {
    const { orderLineId, accountId, lots } = travel(random)
    const recalled = lots.map((lot) => ({ ...lot, onRoad: random.int(0, lot.quantity) }))
    return { kind: 'RECALLED', data: { orderLineId, accountId, lots: recalled, again: random.chance(0.5) } }
  },
  (random) => {
    const quantity = random.int(1, 20)
    return {
      kind: 'RETURNED',
      data: { accountId: random.pick(ACCOUNTS), ...FLEET, quantity, unfit: random.int(0, quantity) },
    }
  },
  (random) => ({ kind: 'WASHED', data: { ...FLEET, quantity: random.int(1, 20) } }),
  (random) => ({ kind: 'BOUGHT', data: { ...FLEET, quantity: random.int(1, 20) } }),
  (random) => ({
    kind: 'SCRAPPED',
    data: { ...FLEET, quantity: random.int(1, 3), from: random.pick(['CLEAN', 'DIRTY']) },
  }),
  (random) => ({ kind: 'LOST', data: { ...FLEET, quantity: random.int(1, 3), accountId: random.pick(ACCOUNTS) } }),
  (random) => ({ kind: 'FOUND', data: { ...FLEET, quantity: random.int(1, 3), clean: random.chance(0.5) } }),
  (random) => ({
    kind: 'ISSUED',
    data: { lotId: random.pick(LOTS), ...FLEET, quantity: random.int(1, 3), to: 'SAMPLE' },
  }),
  (random) => ({
    kind: 'LOT_DESTROYED',
    data: {
      ...{ lotId: random.pick(LOTS), ...FLEET, quantity: random.int(1, 10), nominalMl: FIRKIN_ML },
      keepsContainers: random.chance(0.8),
    },
  }),
  (random) => ({ kind: 'BATCH_COUNTED', data: { batchId: random.pick(BATCHES), ml: random.int(0, 1_000_000) } }),
  (random) => ({
    kind: 'LOT_COUNTED',
    data: { lotId: random.pick(LOTS), ...FLEET, quantity: random.int(0, 40), nominalMl: FIRKIN_ML },
  }),
  (random) => ({ kind: 'FLEET_COUNTED', data: { ...FLEET, quantity: random.int(0, 100) } }),
]
