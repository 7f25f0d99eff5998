// Traces and recalls against a brute-force walk over the whole ledger, on random histories.
import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomHistory } from '../../../seeds/random-facts.ts'
import type { Fact } from '../../../src/floor/facts/fact.ts'
import {
  accountPlace,
  filledPlace,
  kindOf,
  type Place,
  roadPlace,
  vesselPlace,
} from '../../../src/floor/ledger/place.ts'
import { recallOf } from '../../../src/floor/trace/recall.ts'
import { MOST_STEPS, reached, traceFrom } from '../../../src/floor/trace/trace.ts'
import type { TracedEntry } from '../../../src/floor/trace/trace-ledger.ts'
import { containersAtAccounts, containersOut } from '../../support/containers-walk.ts'
import { MemoryLedger } from '../../support/memory-ledger.ts'
import { memoryTraceLedger, tracedEntries } from '../../support/memory-trace-ledger.ts'
import { sampledNumbers } from '../../support/sampled.ts'

const LOTS = ['lot-a', 'lot-b', 'lot-c', 'lot-d']

function historyOf(seed: number) {
  const ledger = new MemoryLedger()
  const facts: Fact[] = []
  const counting = new Map<string, Fact>()
  for (const { fact, gone } of randomHistory(randomFrom(seed), 250)) {
    ledger.record(fact ? [fact] : [], gone)
    for (const id of gone) counting.delete(id)
    if (!fact) continue
    facts.push(fact)
    counting.set(fact.id, fact)
  }
  return { entries: tracedEntries(ledger.entries, facts), counting: [...counting.values()] }
}

/** The thing that a place is of: the beer and the containers of a lot are one thing. */
const thing = (place: Place) => place.replace(/^PACKED/, 'FILLED')
const isFlow = ({ from, to, amount }: TracedEntry) =>
  amount > 0 &&
  ((kindOf(from) === 'VESSEL' && ['VESSEL', 'PACKED'].includes(kindOf(to))) ||
    (kindOf(from) === 'FILLED' && kindOf(to) === 'ON_ROAD') ||
    (kindOf(from) === 'ON_ROAD' && kindOf(to) === 'AT_ACCOUNT'))

/** Looks at every entry again and again until nothing more is reached. */
function walk(entries: readonly TracedEntry[], start: Place, near: 'from' | 'to', far: 'from' | 'to'): Set<Place> {
  const found = new Set([start])
  for (let before = 0; before < found.size; ) {
    before = found.size
    for (const entry of entries) {
      if (isFlow(entry) && found.has(thing(entry[near]))) found.add(thing(entry[far]))
      // What was on the road is of its lot, even where it is not known to have left.
      for (const road of [entry.from, entry.to].filter((place) => kindOf(place) === 'ON_ROAD')) {
        const [lot, onRoad] = [filledPlace(road.split('|')[2] ?? ''), road]
        if (found.has(near === 'from' ? lot : onRoad)) found.add(near === 'from' ? onRoad : lot)
      }
    }
  }
  return found
}

/** Every batch, lot, delivery and account of a history. */
const startsOf = (entries: readonly TracedEntry[]) =>
  [...new Set(entries.flatMap(({ from, to }) => [thing(from), thing(to)]))].filter((place) =>
    ['VESSEL', 'FILLED', 'ON_ROAD', 'AT_ACCOUNT'].includes(kindOf(place)),
  )

describe.each(sampledNumbers(1, 1_000, 10))('history %i', (seed) => {
  const { entries, counting } = historyOf(seed)
  const ledger = memoryTraceLedger(entries, counting)

  test('from each batch, lot, delivery and account a trace reaches what a walk over the ledger reaches, both ways', async () => {
    for (const start of startsOf(entries)) {
      const trace = await traceFrom([start], ledger)
      const [before, after] = [walk(entries, start, 'to', 'from'), walk(entries, start, 'from', 'to')]
      expect(new Set([...trace.places.keys()].map(thing))).toEqual(new Set([...before, ...after]))
      expect(trace.places.get(start)).toBe('ASKED')
      const steps = trace.steps.map(({ relation, entry }) => `${relation} ${entry.revision}.${entry.n}`)
      const walked = entries
        .filter(isFlow)
        .flatMap((entry) => [
          ...(before.has(thing(entry.to)) ? [`BEFORE ${entry.revision}.${entry.n}`] : []),
          ...(after.has(thing(entry.from)) ? [`AFTER ${entry.revision}.${entry.n}`] : []),
        ])
      expect(steps.sort()).toEqual(walked.sort())
      expect(trace.isComplete).toBe(true)
    }
  })

  test('a recall finds each container where the ledger has it, and at accounts those that came last', async () => {
    const recall = await recallOf(LOTS, ledger)
    const standing = containersAtAccounts(entries)
    for (const lot of recall.lots) {
      const { filled, here, onRoad, atAccounts, gone, destroyed, issued, lost } = lot
      expect(here + onRoad + atAccounts + gone + destroyed + issued + lost).toBe(filled)
      const balance = (match: (place: Place) => boolean) =>
        entries.reduce((sum, { from, to, amount }) => sum + (match(to) ? amount : 0) - (match(from) ? amount : 0), 0)
      expect(here).toBe(balance((place) => place === filledPlace(lot.lotId)))
      expect(onRoad).toBe(balance((place) => kindOf(place) === 'ON_ROAD' && place.endsWith(`|${lot.lotId}`)))
      expect(atAccounts).toBe(standing.filter(({ road }) => road.endsWith(`|${lot.lotId}`)).length)
    }
    for (const { lotId, orderLineId, atAccount } of recall.deliveries)
      expect(atAccount).toBe(standing.filter(({ road }) => road === roadPlace(orderLineId, lotId)).length)
  })

  test('what is to be called back is what is out less what was called back of what had left by then', async () => {
    const { deliveries } = await recallOf(LOTS, ledger)
    const standing = containersOut(entries)
    for (const { lotId, orderLineId, onRoad, atAccount, recalled, toRecall } of deliveries) {
      const out = standing.filter(({ road }) => road === roadPlace(orderLineId, lotId))
      expect(out.length).toBe(onRoad + atAccount)
      for (const fact of recallsOf(counting))
        if (fact.data.orderLineId === orderLineId)
          for (const { lotId: of, quantity } of fact.data.lots)
            for (let n = 0; of === lotId && n < quantity; n++) {
              const [first] = out.filter(({ leftOn }) => leftOn <= fact.day)
              if (first) out.splice(out.indexOf(first), 1)
            }
      expect(recalled).toBe(onRoad + atAccount - out.length)
      const days = (list: readonly { leftOn: string; quantity: number }[]) =>
        list.flatMap(({ leftOn, quantity }) => Array.from({ length: quantity }, () => leftOn))
      expect(days(toRecall)).toEqual(out.map(({ leftOn }) => leftOn))
    }
  })
})

/** Recalls in the order of what happened. */
function recallsOf(facts: readonly Fact[]) {
  return facts
    .flatMap((fact) => (fact.kind === 'RECALLED' ? [fact] : []))
    .sort((a, b) => (a.day === b.day ? a.recorded - b.recorded : a.day < b.day ? -1 : 1))
}

test('histories reach from batches to accounts, so that there is something to trace', async () => {
  const ends = await Promise.all(
    Array.from({ length: 20 }, async (_, seed) => {
      const trace = await traceFrom([vesselPlace('batch-a')], memoryTraceLedger(historyOf(seed + 1).entries))
      return reached(trace, 'AT_ACCOUNT').length
    }),
  )
  expect(ends.filter((count) => count > 0).length).toBeGreaterThan(10)
})

test('a trace asks no more questions of a long history than of a short one', async () => {
  const { entries } = historyOf(1)
  let questions = 0
  const counted =
    <Args extends unknown[], Answer>(ask: (...args: Args) => Answer) =>
    (...args: Args): Answer => {
      questions += 1
      return ask(...args)
    }
  const { into, outOf, roadsOf, calledBack, held } = memoryTraceLedger(entries)
  const ledger = {
    ...{ into: counted(into), outOf: counted(outOf), roadsOf: counted(roadsOf), held: counted(held) },
    calledBack: counted(calledBack),
  }
  // The longest chain has three batches, a lot, a delivery and an account.
  const longest = 6
  for (const start of startsOf(entries)) {
    questions = 0
    await traceFrom([start], ledger)
    expect(questions).toBeLessThanOrEqual(2 * 2 * longest)
  }
  questions = 0
  await recallOf(LOTS, ledger)
  expect(questions).toBe(8)
})

test('a trace that would follow too much stops, and says so', async () => {
  const place = accountPlace('inn', 'site', 'firkin')
  const entries = Array.from({ length: MOST_STEPS + 10 }, (_, n): TracedEntry => {
    const ids = { factId: `fact-${n}`, kind: 'DELIVERED' as const, revision: 1, n, recorded: n }
    return {
      ...ids,
      from: roadPlace(`line-${n}`, 'lot'),
      to: place,
      unit: 'CONTAINERS',
      amount: 1,
      day: '2027-02-01',
      rank: 8,
    }
  })
  const trace = await traceFrom([place], memoryTraceLedger(entries))
  expect([trace.steps.length, trace.isComplete]).toEqual([MOST_STEPS, false])
})
