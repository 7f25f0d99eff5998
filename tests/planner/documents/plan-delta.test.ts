// What differs between lists that share elements is what differs between copies of them, which share none.
import { expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { NO_COST, type Plan } from '../../../src/planner/documents/index.ts'
import { deltaBetween, listDelta, unshared, withPartsOf } from '../../../src/planner/documents/plan-delta.ts'

interface Element {
  key: string
  value: number
}

const keyOf = ({ key }: Element) => key
const SEEDS = Array.from({ length: 40 }, (_, index) => index + 1)

/** A list that others are made of: some keys have several elements, side by side or apart. */
function someElements(seed: number): Element[] {
  const random = randomFrom(seed)
  return Array.from({ length: random.int(0, 200) }, (_, index) => ({
    key: `k${random.chance(0.2) ? random.int(0, 20) : index}`,
    value: random.int(0, 3),
  }))
}

/** The list with elements gone, new, replaced, written anew and, now and then, in another order. */
function changed(list: readonly Element[], seed: number): Element[] {
  const random = randomFrom(seed)
  const rate = random.chance(0.5) ? 0.02 : 0.3
  const after = list.flatMap((each): Element[] => {
    if (!random.chance(rate)) return [each]
    if (random.chance(0.3)) return []
    if (random.chance(0.3)) return [each, { key: `new-${random.int(0, 99)}`, value: 1 }]
    return random.chance(0.5) ? [{ ...each }] : [{ ...each, value: each.value + 1 }]
  })
  if (random.chance(0.2)) return random.shuffled(after)
  return random.chance(0.2) ? [...after.slice(60), ...after.slice(0, 60)] : after
}

test.each(SEEDS)('by key, whatever they share (seed %i)', (seed) => {
  const from = someElements(seed)
  const to = changed(from, seed + 1000)
  expect(listDelta(from, to, keyOf)).toEqual(listDelta(structuredClone(from), structuredClone(to), keyOf))
})

test('two lists of the very same elements have nothing apart', () => {
  const list = someElements(3)
  expect(unshared(list, [...list], keyOf)).toEqual({ from: [], to: [] })
})

test('a plan with the parts of another says what it said, and shares with it all that is the same', () => {
  const deliver = (orderLineId: string, quantity: number) => ({
    ...{ orderLineId, routeId: 'town', dispatchOn: '2027-03-20', serveOn: '2027-03-21' },
    from: [{ fillRunId: 'run-1', quantity }],
  })
  const run = { id: 'run-1', batchId: 'brew-1', fillerId: 'rack', on: '2027-03-12', packId: 'firkin', quantity: 40 }
  const brew = { id: 'brew-1', beerId: 'bitter', vesselId: 'FV1', brewOn: '2027-03-03', litres: 2000 }
  const other: Plan = {
    ...{ brews: [brew], transfers: [], fillRuns: [run], dumped: [], unserved: [], cost: NO_COST },
    deliveries: [deliver('a', 4), deliver('b', 2), deliver('b', 3)],
  }
  const plan = structuredClone({ ...other, deliveries: [deliver('b', 3), deliver('a', 5), deliver('c', 1)] })
  const shared = withPartsOf(plan, other)
  expect(shared).toEqual(plan)
  expect(shared.brews[0]).toBe(brew)
  expect(shared.fillRuns[0]).toBe(run)
  expect(shared.deliveries.map((each) => other.deliveries.indexOf(each))).toEqual([2, -1, -1])
  expect(deltaBetween(other, shared)).toEqual(deltaBetween(other, plan))
})
