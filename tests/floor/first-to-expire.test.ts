// Lots that are exchanged before they leave, on random stores and plans.
import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../seeds/random.ts'
import { exchanged, firstToExpire, type LotHere } from '../../src/floor/first-to-expire.ts'
import { addDays, type Plan } from '../../src/planner/documents/index.ts'
import { sampledNumbers } from '../support/sampled.ts'

const TODAY = '2027-03-01'

/** Lots of a store, and deliveries that take no more of them than there is; the first leaves today. */
function store(seed: number) {
  const random = randomFrom(seed)
  const here = ['a', 'b', 'c', 'd'].map(
    (lotId): LotHere => ({ lotId, quantity: random.int(1, 12), bestBefore: addDays(TODAY, random.int(20, 26)) }),
  )
  const left = new Map(here.map(({ lotId, quantity }) => [lotId, quantity]))
  const deliveries = ['first', 'second', 'third', 'fourth'].flatMap((orderLineId, n): Plan['deliveries'] => {
    const from = random.shuffled(here).flatMap(({ lotId }) => {
      const quantity = random.chance(0.5) ? random.int(0, Math.min(5, left.get(lotId) ?? 0)) : 0
      left.set(lotId, (left.get(lotId) ?? 0) - quantity)
      return quantity > 0 ? [{ stockLotId: lotId, quantity }] : []
    })
    const dispatchOn = addDays(TODAY, n === 0 ? 0 : random.int(0, 3))
    return from.length > 0 ? [{ orderLineId, routeId: 'van', dispatchOn, serveOn: addDays(dispatchOn, 1), from }] : []
  })
  return { here, deliveries }
}

const total = (list: readonly { quantity: number }[]) => list.reduce((sum, { quantity }) => sum + quantity, 0)

describe.each(sampledNumbers(1, 2_000, 150))('store %i', (seed) => {
  test('gives what expires first of what no other delivery takes today, and the later ones all that they want of what is left', () => {
    const { here, deliveries } = store(seed)
    const [leaving] = deliveries
    if (!leaving) return
    const planned = leaving.from.map(({ stockLotId = '', quantity }) => ({ lotId: stockLotId, quantity }))
    const { lots, exchanged: exchanges } = firstToExpire(planned, here, { deliveries }, leaving, TODAY)
    const others = deliveries.filter((each) => each !== leaving)
    const after = exchanges.reduce(exchanged, others)
    expect(total(lots)).toBe(total(planned))

    const taken = (list: Plan['deliveries'], lotId: string) =>
      total(list.flatMap(({ from }) => from).filter(({ stockLotId }) => stockLotId === lotId))
    const sent = (lotId: string) => total(lots.filter((lot) => lot.lotId === lotId))
    for (const { lotId, quantity } of here) {
      expect(sent(lotId) + taken(after, lotId)).toBeLessThanOrEqual(quantity)
      // No lot that expires sooner stays behind, unless others take it today.
      const free =
        quantity -
        sent(lotId) -
        taken(
          others.filter(({ dispatchOn }) => dispatchOn <= TODAY),
          lotId,
        )
      const bestBefore = here.find((lot) => lot.lotId === lotId)?.bestBefore ?? ''
      if (free > 0) for (const lot of lots) expect(bestOf(here, lot.lotId) <= bestBefore).toBe(true)
    }
    for (const [index, { from, ...rest }] of after.entries()) {
      const { from: before, ...was } = others[index] ?? { from: [] }
      expect([total(from), rest]).toEqual([total(before), was])
      if (rest.dispatchOn <= TODAY) expect(from).toEqual(before)
      // What they take instead expires later.
      const earliest = (list: typeof from) =>
        list.map(({ stockLotId = '' }) => bestOf(here, stockLotId)).sort()[0] ?? ''
      expect(earliest(from) >= earliest(before)).toBe(true)
    }
  })
})

function bestOf(here: readonly LotHere[], lotId: string): string {
  return here.find((lot) => lot.lotId === lotId)?.bestBefore ?? ''
}

test('where lots expire on the same day, nothing is exchanged', () => {
  const here = [
    { lotId: 'a', quantity: 5, bestBefore: '2027-04-01' },
    { lotId: 'b', quantity: 5, bestBefore: '2027-04-01' },
  ]
  const planned = [{ lotId: 'b', quantity: 3 }]
  const from = [{ stockLotId: 'b', quantity: 3 }]
  const leaving = { orderLineId: 'first', routeId: 'van', dispatchOn: TODAY, serveOn: TODAY, from }
  expect(firstToExpire(planned, here, { deliveries: [leaving] }, leaving, TODAY)).toEqual({
    lots: planned,
    exchanged: [],
  })
})
