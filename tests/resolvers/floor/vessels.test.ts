// What facts say of vessels: they are cleaned once they were emptied, and out of service for as long as the fact counts that says so.
import { beforeEach, describe, expect, test } from 'vitest'
import { correctFact } from '../../../src/resolvers/floor/correct-fact.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { rollDays } from '../../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { changeVessel } from '../../../src/resolvers/setup/vessel.ts'
import { brightVesselBrewery, day, order } from '../../support/one-vessel-brewery.ts'
import { openPlannedBrewery } from '../../support/planned-demo.ts'
import { expectReplayed } from '../../support/replayed.ts'

/** The brewery with 200 litres in its tank, which takes three days to clean, and five casks wanted of the next brew. */
function brewery() {
  const problem = brightVesselBrewery({ orderLines: [order('a', 5, 2), order('b', 5, 12)] })
  problem.vessels[0]!.turnaroundDays = 3
  return problem
}

let it: Awaited<ReturnType<typeof openPlannedBrewery>>
beforeEach(async () => {
  it = await openPlannedBrewery(brewery())
  await rollDays(it.actor)
})

const batch = { id: encodeGlobalId('Batch', 'gyle') }
const pack = { id: encodeGlobalId('Pack', 'cask') }
const vessel = { id: encodeGlobalId('Vessel', 'tank') }

async function record(fact: object): Promise<string> {
  const { ids } = await recordFacts(it.actor, { facts: [fact] }, 'the cellar')
  return encodeGlobalId('Fact', ids[0] ?? '')
}
const correct = (fact: string, rest: object) => correctFact(it.actor, { fact, ...rest }, 'the cellar')

/** From when on the tank may take a batch, as plans know it, in days from today; the plan keeps to it. */
async function freeFrom(): Promise<string | undefined> {
  const { problem } = await it.expectValid()
  return problem.vessels.find(({ id }) => id === 'tank')?.availableFrom
}

describe('a vessel that was emptied', () => {
  test('takes nothing before it is cleaned, counted from the day on which it really was', async () => {
    expect(await freeFrom()).toBeUndefined()
    it.clock.set(`${day(2)}T09:00:00Z`)
    const fill = await record({ filled: { on: day(1), batch, pack, quantity: 5, emptied: true } })
    expect(await freeFrom()).toBe(day(5))
    await correct(fill, { replace: { filled: { on: day(2), batch, pack, quantity: 5, emptied: true } } })
    expect(await freeFrom()).toBe(day(6))
    await correct(fill, { replace: { filled: { on: day(2), batch, pack, quantity: 3, emptied: false } } })
    expect(await freeFrom()).toBeUndefined()
  })

  test('is as it was once the transfer is withdrawn that emptied it', async () => {
    const transfer = await record({ transferred: { batch, vessel: { id: encodeGlobalId('Vessel', 'bright') } } })
    expect(await freeFrom()).toBe(day(4))
    await correct(transfer, { withdraw: true })
    expect(await freeFrom()).toBeUndefined()
    const row = await it.client.vessel.findFirstOrThrow({ where: { id: 'tank' } })
    expect(row.emptiedOn).toBeNull()
  })

  test('was never filled by a brew that is withdrawn', async () => {
    it = await openPlannedBrewery({ ...brewery(), orderLines: [] })
    await record({ dumped: { batch } })
    it.clock.set(`${day(6)}T09:00:00Z`)
    await rollDays(it.actor)
    const brew = await record({ brewed: { beer: { id: encodeGlobalId('Beer', 'mild') }, vessel, litres: 400 } })
    await correct(brew, { withdraw: true })
    const row = await it.client.vessel.findFirstOrThrow({ where: { id: 'tank' } })
    expect(row.emptiedOn).toEqual(new Date(day(0)))
    expect(await freeFrom()).toBeUndefined()
  })
})

describe('a vessel that was said to be cleaned', () => {
  const emptied = (on: string) => record({ filled: { on, batch, pack, quantity: 5, emptied: true } })

  test('takes beer from the next day on, until that is withdrawn or it is emptied again; a late word frees it no later', async () => {
    it.clock.set(`${day(2)}T09:00:00Z`)
    await emptied(day(1))
    const cleaning = await record({ vesselCleaned: { vessel } })
    expect(await freeFrom()).toBe(day(3))
    await correct(cleaning, { withdraw: true })
    expect(await freeFrom()).toBe(day(5))
    it.clock.set(`${day(5)}T09:00:00Z`)
    await rollDays(it.actor)
    await record({ vesselCleaned: { vessel } })
    expect(await freeFrom()).toBeUndefined()
  })

  test('is as clean when the cleaning is said first and the day on which it was emptied is corrected then', async () => {
    it.clock.set(`${day(2)}T09:00:00Z`)
    const fill = await emptied(day(2))
    await record({ vesselCleaned: { vessel } })
    expect(await freeFrom()).toBe(day(3))
    await correct(fill, { replace: { filled: { on: day(1), batch, pack, quantity: 5, emptied: true } } })
    expect(await freeFrom()).toBe(day(3))
    await expectReplayed(it.client, it.actor.distributorId)
  })

  test('is not clean any more once it was emptied again, on the same day too', async () => {
    it.clock.set(`${day(3)}T09:00:00Z`)
    await emptied(day(1))
    await record({ vesselCleaned: { vessel } })
    await record({ brewed: { beer: { id: encodeGlobalId('Beer', 'mild') }, vessel, litres: 400, code: 'again' } })
    const again = await it.client.batch.findFirstOrThrow({ where: { code: 'again' } })
    await record({ dumped: { batch: { id: encodeGlobalId('Batch', again.id) } } })
    expect(await freeFrom()).toBe(day(7))
  })

  test('is refused while a batch is in it that came before the day, and the batch is named', async () => {
    await expect(record({ vesselCleaned: { vessel } })).rejects.toMatchObject({
      issues: [
        { path: 'facts[0].vesselCleaned.vessel', code: 'VESSEL_HOLDS_BEER', message: expect.stringContaining('"') },
      ],
    })
  })
})

describe('a vessel that is out of service by a fact', () => {
  const outages = async () => {
    const rows = await it.client.vesselOutage.findMany({
      where: { vesselId: 'tank' },
      orderBy: [{ from: 'asc' }, { to: 'asc' }],
    })
    return rows.map(({ from, to, factId }) =>
      [from, to, factId === ''].map((each) => (each instanceof Date ? each.toISOString().slice(0, 10) : each)),
    )
  }

  test('is so beside a span of the set-up that begins on the same day, which stays when the fact goes', async () => {
    await changeVessel(it.actor, { vessel, outOfService: [{ from: day(0), to: day(1) }] })
    const out = await record({ vesselOut: { vessel, until: day(3), why: 'a leak' } })
    expect(await outages()).toEqual([
      [day(0), day(1), true],
      [day(0), day(3), false],
    ])
    await it.expectValid()
    await correct(out, { withdraw: true })
    expect(await outages()).toEqual([[day(0), day(1), true]])
  })

  test('stays so when its set-up is changed, and is in service from the day on which it is back', async () => {
    await record({ vesselOut: { vessel, why: 'a leak' } })
    await changeVessel(it.actor, { vessel, name: 'Tank 1', outOfService: [{ from: day(9), to: day(9) }] })
    expect(await outages()).toEqual([
      [day(0), '2999-12-31', false],
      [day(9), day(9), true],
    ])
    it.clock.set(`${day(2)}T09:00:00Z`)
    await rollDays(it.actor)
    await record({ vesselBack: { vessel } })
    expect(await outages()).toEqual([
      [day(0), day(1), false],
      [day(9), day(9), true],
    ])
    await it.expectValid()
  })
})

test('a batch that a person says is ready is filled, and primed only once two gravities prove it', async () => {
  await it.client.beer.updateMany({ data: { finalGravity: 1.01 } })
  await record({ ready: { batch } })
  const isPrimable = async () => (await it.expectValid()).problem.batches[0]?.primable
  expect(await isPrimable()).toBe(false)
  await it.client.pack.updateMany({ data: { primed: true, primingWindowDays: 20 } })
  const { ids } = await recordFacts(it.actor, { facts: [{ filled: { batch, pack, quantity: 1 } }] }, 'the cellar')
  const fill = await it.client.fact.findFirstOrThrow({ where: { id: ids[0] ?? '' } })
  expect(fill.warnings).toMatchObject([{ code: 'FERMENTATION_UNPROVEN' }])
  expect(await it.client.stockLot.findMany({ select: { quantity: true, quarantined: true } })).toEqual([
    { quantity: 1, quarantined: true },
  ])
  it.clock.set(`${day(1)}T09:00:00Z`)
  await record({ reading: { batch, at: `${day(0)}T08:00:00Z`, gravity: 1.0105 } })
  await record({ reading: { batch, at: `${day(1)}T08:30:00Z`, gravity: 1.0103 } })
  expect(await isPrimable()).toBe(true)
  expect(await it.client.batch.findFirstOrThrow({ where: { id: 'gyle' } })).toMatchObject({ fermentationProven: true })
})
