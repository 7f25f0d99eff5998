// What leaves by itself, or is said without its lots: of the store the lots that expire first, where that makes no line late.
import { expect, test } from 'vitest'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { rollDays } from '../../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { openPlannedBrewery } from '../../support/planned-demo.ts'
import { expectReplayed } from '../../support/replayed.ts'

const lot = (id: string, quantity: number, bestBefore: number) => ({
  ...{
    id,
    siteId: 'yard',
    packId: 'cask',
    quantity,
    filledOn: day(-3),
    readyOn: day(-1),
    bestBefore: day(bestBefore),
    quarantined: false,
  },
})

/** Four casks promised for the day after tomorrow, and four for two days later. */
function brewery(stock: Problem['stock'], change: (problem: Problem) => void = () => undefined) {
  const orderLines = [order('soon', 4, 2, { promisedOn: day(2) }), order('later', 4, 4, { promisedOn: day(4) })]
  const problem = oneVesselBrewery({ orderLines, batches: [], stock })
  problem.fleets.push({ siteId: 'yard', containerTypeId: 'forty', cleanNow: 20, returns: [], washDays: 1 })
  for (const account of problem.accounts) account.maxEarlyDays = 1
  change(problem)
  return openPlannedBrewery(problem)
}

type Brewery = Awaited<ReturnType<typeof brewery>>

/** Which lots the plan has for each line. */
async function plannedLots({ expectValid }: Brewery): Promise<Record<string, string[]>> {
  const { plan } = await expectValid()
  return Object.fromEntries(
    plan.deliveries.map(({ orderLineId, from }) => [orderLineId, from.map(({ stockLotId = '' }) => stockLotId).sort()]),
  )
}

/** Which lots have left for each line. */
async function sentLots({ client }: Brewery): Promise<Record<string, string[]>> {
  const facts = await client.fact.findMany({ where: { kind: 'DISPATCHED', replacedById: null } })
  return Object.fromEntries(
    facts.map(({ data }) => {
      const { orderLineId, lots } = Object(data)
      return [orderLineId, lots.map(({ lotId }: { lotId: string }) => lotId).sort()]
    }),
  )
}

async function goOnTo(it: Brewery, last: number, first = 1): Promise<void> {
  for (let next = first; next <= last; next++) {
    it.clock.set(`${day(next)}T12:00:00Z`)
    await rollDays(it.actor)
  }
  await it.expectValid()
  await expectReplayed(it.client, it.actor.distributorId)
}

test.each([
  ['a', 'b'],
  ['b', 'a'],
])(
  'what is assumed to have left is what expires first (%s); the later line takes the other lot (%s), in time',
  async (first, last) => {
    const it = await brewery([lot('a', 4, first === 'a' ? 30 : 60), lot('b', 4, first === 'b' ? 30 : 60)])
    await rollDays(it.actor)
    await goOnTo(it, 2)
    expect(await sentLots(it)).toEqual({ soon: [first] })
    expect(await plannedLots(it)).toEqual({ later: [last] })
    await goOnTo(it, 5, 3)
    expect(await sentLots(it)).toEqual({ soon: [first], later: [last] })
    const lines = await it.client.orderLine.findMany()
    expect(lines.map(({ status, delivered }) => [status, delivered])).toEqual([
      ['DELIVERED', 4],
      ['DELIVERED', 4],
    ])
  },
)

test('what is said to have left without its lots is what expires first, and what no line wants goes before all', async () => {
  const it = await brewery([lot('a-late', 8, 60), lot('b-soon', 3, 30)])
  await rollDays(it.actor)
  it.clock.set(`${day(1)}T12:00:00Z`)
  await recordFacts(
    it.actor,
    { facts: [{ dispatched: { orderLine: { id: encodeGlobalId('OrderLine', 'soon') } } }] },
    'the yard',
  )
  expect(await sentLots(it)).toEqual({ soon: ['a-late', 'b-soon'] })
  expect(await plannedLots(it)).toEqual({ later: ['a-late'] })
})

test.each([
  ['is not good long enough for the account', {}, 29],
  ['is not ready', { readyOn: day(3) }, 0],
  ['is kept back', { quarantined: true }, 0],
])('a lot that %s stays', async (_why, more, minDaysOnSale) => {
  const it = await brewery([lot('a-late', 8, 60), { ...lot('b-soon', 4, 30), ...more }], ({ accounts }) => {
    for (const account of accounts) account.minDaysOnSale = minDaysOnSale
  })
  await rollDays(it.actor)
  await goOnTo(it, 2)
  expect(await sentLots(it)).toEqual({ soon: ['a-late'] })
})

test('lots that are named are those that left', async () => {
  const it = await brewery([lot('a-late', 4, 60), lot('b-soon', 4, 30)])
  await rollDays(it.actor)
  it.clock.set(`${day(1)}T12:00:00Z`)
  const lots = [{ lot: { id: encodeGlobalId('StockLot', 'a-late') }, quantity: 4 }]
  const orderLine = { id: encodeGlobalId('OrderLine', 'soon') }
  await recordFacts(it.actor, { facts: [{ dispatched: { orderLine, lots } }] }, 'the yard')
  expect(await sentLots(it)).toEqual({ soon: ['a-late'] })
  expect(await plannedLots(it)).toEqual({ later: ['b-soon'] })
})
