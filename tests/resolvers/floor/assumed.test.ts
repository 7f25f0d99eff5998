// What was assumed when its day was over: what is said of the same work takes its place, and what can not have happened is due.
import { beforeEach, describe, expect, test } from 'vitest'
import { ledgerFaults } from '../../../src/floor/ledger/identity.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { entryOf } from '../../../src/records/ledger.ts'
import { confirmFacts } from '../../../src/resolvers/floor/confirm-facts.ts'
import { promisesAtRisk } from '../../../src/resolvers/floor/promises-at-risk.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { rollDays } from '../../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { openPlannedBrewery } from '../../support/planned-demo.ts'

/** The brewery of one tank with 200 litres that are ready, a fleet of ten casks, and four casks wanted the day after tomorrow. */
function brewery(): Problem {
  const problem = oneVesselBrewery({ orderLines: [order('a', 4, 2, { promisedOn: day(2) })] })
  problem.fleets.push({ siteId: 'yard', containerTypeId: 'forty', cleanNow: 10, returns: [], washDays: 1 })
  return problem
}

let it: Awaited<ReturnType<typeof openPlannedBrewery>>
beforeEach(async () => {
  it = await openPlannedBrewery(brewery())
  await rollDays(it.actor)
})

const batch = { id: encodeGlobalId('Batch', 'gyle') }
const pack = { id: encodeGlobalId('Pack', 'cask') }
const fleet = {
  site: { id: encodeGlobalId('Site', 'yard') },
  containerType: { id: encodeGlobalId('ContainerType', 'forty') },
}
const orderLine = { id: encodeGlobalId('OrderLine', 'a') }
const record = (...facts: object[]) => recordFacts(it.actor, { facts }, 'the cellar')

async function goOnTo(n: number) {
  it.clock.set(`${day(n)}T09:00:00Z`)
  await rollDays(it.actor)
}

/** The facts that count, by kind, with how many containers they are of; the ledger balances and the plan is valid. */
async function counting(): Promise<[kind: string, quantity: number | undefined, assumed: boolean][]> {
  await it.expectValid()
  const entries = await it.client.ledgerEntry.findMany()
  expect(ledgerFaults(entries.map(entryOf))).toEqual([])
  const where = { replacedById: null, withdraws: false, NOT: { kind: { endsWith: '_OPENING' } } }
  const facts = await it.client.fact.findMany({ where, orderBy: { number: 'asc' } })
  return facts.map(({ kind, data, assumed }) => {
    const { quantity, lots } = Object(data)
    return [kind, quantity ?? lots?.[0]?.quantity, assumed]
  })
}

test('a primed fill without proof that the beer has fermented is quarantined once a person confirms it', async () => {
  await it.client.beer.updateMany({ data: { finalGravity: 1.01 } })
  await it.client.pack.updateMany({ data: { primed: true, primingWindowDays: 20 } })
  const isKeptBack = async () => (await it.client.stockLot.findMany()).map(({ quarantined }) => quarantined)
  await goOnTo(1)
  expect(await isKeptBack()).toEqual([false])
  await confirmFacts(it.actor, { on: day(0), site: fleet.site }, 'the cellar')
  expect(await isKeptBack()).toEqual([true])
  const { plan } = await it.stored()
  expect(plan.deliveries.flatMap(({ from }) => from.flatMap(({ stockLotId }) => stockLotId ?? []))).toEqual([])
  await it.expectValid()
})

describe('what is said late of work that was assumed', () => {
  test('takes the place of a fill, by the name of its run', async () => {
    const { plan } = await it.stored()
    const [run] = plan.fillRuns
    await goOnTo(1)
    expect(await counting()).toEqual([['FILLED', 4, true]])
    await record({ filled: { on: day(0), fillRun: run?.id, quantity: 5, spoiled: 1 } })
    expect(await counting()).toEqual([['FILLED', 5, false]])
    const lots = await it.client.stockLot.findMany()
    expect(lots.map(({ quantity }) => quantity)).toEqual([5])
  })

  test('is of the day on which it was assumed, unless another is said', async () => {
    const { plan } = await it.stored()
    await goOnTo(1)
    await record({ filled: { fillRun: plan.fillRuns[0]?.id, quantity: 3 } })
    const fact = await it.client.fact.findFirstOrThrow({ where: { kind: 'FILLED', replacedById: null } })
    expect(fact.on.toISOString().slice(0, 10)).toBe(day(0))
    expect(await counting()).toEqual([['FILLED', 3, false]])
  })

  test('takes the place of a fill of the same batch, pack and day, and the rest of it is said besides', async () => {
    await goOnTo(1)
    await record(
      { filled: { on: day(0), batch, pack, quantity: 1 } },
      { filled: { on: day(0), batch, pack, quantity: 3 } },
    )
    expect(await counting()).toEqual([
      ['FILLED', 1, false],
      ['FILLED', 3, false],
    ])
  })

  test('takes the place of a dispatch and of a delivery, and what is short is still wanted', async () => {
    await goOnTo(2)
    expect((await counting()).map(([kind]) => kind)).toEqual(['FILLED', 'DISPATCHED', 'DELIVERED'])
    const [{ id: lotId } = { id: '' }] = await it.client.stockLot.findMany()
    const lot = { id: encodeGlobalId('StockLot', lotId) }
    await record(
      { delivered: { on: day(1), orderLine, quantity: 3 } },
      { dispatched: { on: day(1), orderLine, lots: [{ lot, quantity: 3 }] } },
    )
    expect((await counting()).slice(1)).toEqual([
      ['DELIVERED', 3, false],
      ['DISPATCHED', 3, false],
    ])
    const { problem } = await it.stored()
    expect(problem.orderLines).toMatchObject([{ id: 'a', quantity: 1 }])
  })

  test('says that some of what was taken to have arrived was refused: the others have arrived', async () => {
    await goOnTo(2)
    await record({ refused: { on: day(1), orderLine, quantity: 1, fit: true, again: true } })
    expect((await counting()).slice(2)).toEqual([
      ['DELIVERED', 3, true],
      ['REFUSED', 1, false],
    ])
    const line = await it.client.orderLine.findFirstOrThrow()
    expect(line).toMatchObject({ dispatched: 3, delivered: 3 })
  })
})

describe('washing', () => {
  test('of what came back is assumed in time to be clean the next morning', async () => {
    await record({ returned: { ...fleet, account: { id: encodeGlobalId('Account', 'inn') }, quantity: 6 } })
    await goOnTo(1)
    expect((await counting()).slice(-1)).toEqual([['WASHED', 6, true]])
    const { problem } = await it.stored()
    // Four of the ten were filled.
    expect(problem.fleets[0]).toMatchObject({ cleanNow: 12, returns: [] })
    await record({ washed: { on: day(0), ...fleet, quantity: 5 } })
    expect((await counting()).slice(-1)).toEqual([['WASHED', 5, false]])
  })
})

test('work whose vessel went out of service that day is due with why, and what is said of it later takes its place', async () => {
  it = await openPlannedBrewery({ ...brewery(), batches: [], orderLines: [order('a', 5, 9)] })
  await rollDays(it.actor)
  const { plan } = await it.stored()
  const [brew] = plan.brews
  it.clock.set(`${brew?.brewOn}T09:00:00Z`)
  await rollDays(it.actor)
  // Out by the set-up, of which plans have not heard: as after a failure in the night.
  await it.client.vesselOutage.create({
    data: {
      distributorId: it.actor.distributorId,
      vesselId: 'tank',
      from: new Date(brew?.brewOn ?? ''),
      to: new Date(brew?.brewOn ?? ''),
    },
  })
  it.clock.set(new Date(it.clock.now().getTime() + 86_400_000))
  await rollDays(it.actor)
  const [fact] = await it.client.fact.findMany({ where: { kind: 'NOT_DONE' } })
  expect(fact).toMatchObject({
    ...{ due: true, assumed: true, decisionKind: 'BREW', decisionId: brew?.id },
    data: { why: 'The vessel was out of service.' },
  })
  const after = await it.expectValid()
  expect(after.plan.brews.every(({ brewOn }) => brewOn > (brew?.brewOn ?? ''))).toBe(true)
  await it.client.vesselOutage.deleteMany()
  const beer = { id: encodeGlobalId('Beer', 'mild') }
  const vessel = { id: encodeGlobalId('Vessel', 'tank') }
  await record({ brewed: { on: brew?.brewOn, brew: brew?.id, beer, vessel, litres: 400 } })
  expect((await counting()).map(([kind]) => kind)).toEqual(['BREWED'])
})

test('a day of which nothing is assumed any more is confirmed without a change, and the promises at risk are named as before', async () => {
  await goOnTo(1)
  await record({ filled: { on: day(0), batch, pack, quantity: 1 } }, { batchQuarantined: { batch } })
  const { revision, plan } = await it.expectValid()
  const answer = await confirmFacts(it.actor, { on: day(0), site: fleet.site }, 'the cellar')
  expect(answer).toMatchObject({ revision, ids: [], repaired: { before: plan, after: plan } })
  const { actor, client } = it
  if (!answer.repaired) throw new Error('there is a plan in force')
  const atRisk = await promisesAtRisk(client, actor.distributorId, answer.repaired)
  expect(atRisk).toMatchObject([{ orderLineId: 'a', isNew: false, promisedOn: day(2) }])
})

test('each assumed fact is in the change log', async () => {
  await goOnTo(2)
  const logged = await it.client.changeLogEntry.findMany({
    where: { kind: 'FACT_RECORDED' },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
  })
  expect(logged.map(({ after }) => after)).toMatchObject([
    { kind: 'FILLED', assumed: true },
    { kind: 'DISPATCHED', assumed: true },
    { kind: 'DELIVERED', assumed: true },
  ])
})
