// Beer that is called back from the road or from an account: what its line is then, where its containers are, and what undoes it.
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { InvalidInput } from '../../../src/errors.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { fleetPlaces } from '../../../src/resolvers/floor/containers.ts'
import { correctFact } from '../../../src/resolvers/floor/correct-fact.ts'
import { promisesAtRisk } from '../../../src/resolvers/floor/promises-at-risk.ts'
import { recall } from '../../../src/resolvers/floor/recall.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { rollDays } from '../../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { openPlannedBrewery } from '../../support/planned-demo.ts'
import { expectReplayed } from '../../support/replayed.ts'

/** A tank with five casks that are ready, a fleet of twenty, and four casks promised for the day after tomorrow. */
function brewery(): Problem {
  const problem = oneVesselBrewery({ orderLines: [order('a', 4, 2, { promisedOn: day(2) })] })
  problem.fleets.push({ siteId: 'yard', containerTypeId: 'forty', cleanNow: 20, returns: [], washDays: 1 })
  return problem
}

let it: Awaited<ReturnType<typeof openPlannedBrewery>>
let lot = { id: '' }

const refOf = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const [batch, pack, orderLine] = [refOf('Batch', 'gyle'), refOf('Pack', 'cask'), refOf('OrderLine', 'a')]
const fleet = { site: refOf('Site', 'yard'), containerType: refOf('ContainerType', 'forty') }
const record = async (...facts: object[]) => recordFacts(it.actor, { facts }, 'the yard')
const lotsOf = (quantity: number) => [{ lot, quantity }]
const recalled = (quantity: number, again: boolean) => ({
  recalled: { orderLine, lots: lotsOf(quantity), again, why: 'It smells of vinegar.' },
})
const line = () => it.client.orderLine.findFirstOrThrow()
const refusalOf = async (...facts: object[]) => {
  const error = await record(...facts).catch((thrown: unknown) => thrown)
  if (!(error instanceof InvalidInput)) throw new Error('something is wrong with it', { cause: error })
  return error.issues.map(({ path, code, message }) => [path, code, message])
}
const list = async () => {
  const { lots, accounts } = await recall(it.actor, { of: { lot } })
  const [{ onRoad, atAccounts, recalled: called } = { onRoad: 0, atAccounts: 0, recalled: 0 }] = lots
  for (const account of accounts) expect(account.recalled).toBe(called)
  return { onRoad, atAccounts, called }
}

/** Four casks of a lot of five left for the inn today, and two of them have arrived. */
beforeEach(async () => {
  it = await openPlannedBrewery(brewery())
  await rollDays(it.actor)
  await record({ filled: { batch, pack, quantity: 5 } })
  lot = refOf('StockLot', (await it.client.stockLot.findFirstOrThrow()).id)
  await record(
    { dispatched: { orderLine, lots: lotsOf(4), route: refOf('Route', 'van') } },
    { delivered: { orderLine, quantity: 2 } },
  )
})

afterEach(async () => {
  await it.expectValid()
  await expectReplayed(it.client, it.actor.distributorId)
})

describe('beer that is called back', () => {
  test('and sent again is wanted again for its day, and the promise is at risk until a plan serves it', async () => {
    await record({ lotQuarantined: { lot } })
    const { repaired } = await record(recalled(4, true))
    expect(await line()).toMatchObject({ dispatched: 0, delivered: 0, closedShort: 0, onRoad: 2, status: 'OPEN' })
    expect((await it.stored()).problem.orderLines).toMatchObject([{ id: 'a', quantity: 4, promisedOn: day(2) }])
    const risks = repaired ? await promisesAtRisk(it.client, it.actor.distributorId, repaired) : []
    expect(risks).toMatchObject([{ orderLineId: 'a', accountId: 'inn', isNew: true }])
    expect(await list()).toEqual({ onRoad: 2, atAccounts: 2, called: 4 })
  })

  test('and not sent again is closed as short, and its line is done', async () => {
    await record({ lotQuarantined: { lot } }, recalled(4, false))
    expect(await line()).toMatchObject({ dispatched: 0, delivered: 0, closedShort: 4, onRoad: 2, status: 'DELIVERED' })
    expect((await it.stored()).problem.orderLines).toEqual([])
  })

  test('in part is taken from the road first, and leaves the rest sent and delivered', async () => {
    const { ids } = await record(recalled(3, true))
    expect(await line()).toMatchObject({ dispatched: 1, delivered: 1, onRoad: 2 })
    const { data, warnings } = await it.client.fact.findFirstOrThrow({ where: { id: ids[0] } })
    expect(data).toMatchObject({ lots: [{ quantity: 3, onRoad: 2 }] })
    // One cask stands in the yard, and nothing keeps it there.
    expect(warnings).toMatchObject([{ code: 'NOT_KEPT_BACK' }])
  })

  test('is out, full, until it is said to have come back', async () => {
    await record({ lotQuarantined: { lot } }, recalled(4, false))
    const places = async () => {
      const [{ onRoad, atAccounts, dirty, filled } = { onRoad: 0, atAccounts: 0, dirty: 0, filled: 0 }] =
        await fleetPlaces(it.actor, {})
      return { onRoad, atAccounts, dirty, filled }
    }
    expect(await places()).toMatchObject({ onRoad: 2, atAccounts: 2, filled: 1 })
    await record(
      { refused: { orderLine, fit: false, again: false } },
      { returned: { ...fleet, account: refOf('Account', 'inn'), quantity: 2 } },
    )
    expect(await places()).toMatchObject({ onRoad: 0, atAccounts: 0, filled: 3 })
    // What came back was settled by the recall: it closes nothing twice.
    expect(await line()).toMatchObject({ dispatched: 0, delivered: 0, closedShort: 4, onRoad: 0 })
    expect(await list()).toEqual({ onRoad: 0, atAccounts: 0, called: 0 })
  })
})

describe('beer that is held on the road', () => {
  test('is not taken to arrive by itself, nor is that of a lot that is kept back', async () => {
    await record({ lotQuarantined: { lot } })
    it.clock.set(`${day(3)}T09:00:00Z`)
    await rollDays(it.actor)
    expect(await line()).toMatchObject({ delivered: 2, onRoad: 2 })
    await record({ lotReleased: { lot } }, recalled(2, true))
    it.clock.set(`${day(4)}T09:00:00Z`)
    await rollDays(it.actor)
    expect(await line()).toMatchObject({ dispatched: 2, delivered: 2, onRoad: 2 })
  })

  test('arrives where its lot is named, and is called back still', async () => {
    await record({ lotQuarantined: { lot } }, recalled(4, true))
    expect(await refusalOf({ delivered: { orderLine } })).toEqual([
      [
        ...['facts[0].delivered.lots', 'MISSING_VALUE'],
        'what is on the road for the line was called back: say which lots arrived all the same',
      ],
    ])
    await record({ delivered: { orderLine, lots: lotsOf(2) } })
    expect(await line()).toMatchObject({ dispatched: 0, delivered: 0, onRoad: 0 })
    expect(await list()).toEqual({ onRoad: 0, atAccounts: 4, called: 4 })
    expect((await refusalOf(recalled(1, true)))[0]?.slice(0, 2)).toEqual([
      ...['facts[0].recalled.lots[0].quantity', 'MORE_THAN_OUT'],
    ])
  })
})

test('more than is on the road and at the account can not be called back: the answer says what there is', async () => {
  const { code } = await it.client.stockLot.findFirstOrThrow()
  const path = 'facts[0].recalled.lots[0].quantity'
  const is = (there: string) => [[path, 'MORE_THAN_OUT', there]]
  expect(await refusalOf(recalled(5, true))).toEqual(
    is(`2 of the lot ${code} are on the road for the line and 2 at the account`),
  )
  await record(recalled(3, true))
  expect(await refusalOf(recalled(2, true))).toEqual(
    is(`0 of the lot ${code} are on the road for the line and 1 at the account; 3 were called back before`),
  )
  expect(await refusalOf({ recalled: { orderLine, lots: [...lotsOf(1), ...lotsOf(1)], again: true } })).toEqual([
    ['facts[0].recalled.lots[1].lot', 'DUPLICATE_ENTRY', 'the lot is named before'],
  ])
  expect((await line()).dispatched).toBe(1)
})

test('a recall that is withdrawn or corrected is as if it had not been said, or said so', async () => {
  const before = await line()
  const { ids } = await record(recalled(4, false))
  const fact = encodeGlobalId('Fact', ids[0] ?? '')
  await correctFact(
    it.actor,
    { fact, replace: { recalled: { orderLine, lots: lotsOf(2), again: true } } },
    'the office',
  )
  expect(await line()).toMatchObject({ dispatched: 2, delivered: 2, closedShort: 0, status: 'OPEN' })
  await correctFact(it.actor, { fact, withdraw: true }, 'the office')
  expect(await line()).toEqual(before)
  expect(await list()).toEqual({ onRoad: 2, atAccounts: 2, called: 0 })
})

test('a draft that was begun before a recall takes in what is to be sent again', async () => {
  const { id } = await draftPlan(it.actor, { effort: { steps: 5 } })
  await it.actor.jobs.settled()
  await record({ lotQuarantined: { lot } }, recalled(4, true))
  await adoptPlan(it.actor, { id: encodeGlobalId('Plan', id), acceptBrokenPromises: { all: true } })
  const { plan } = await it.expectValid()
  expect([...plan.deliveries, ...plan.unserved].map(({ orderLineId }) => orderLineId)).toEqual(['a'])
})

test('a lot that is released again can be sent for the line again, and called back again', async () => {
  await record({ lotQuarantined: { lot } }, recalled(4, true), { refused: { orderLine, fit: true, again: true } })
  await record({ lotReleased: { lot } })
  it.clock.set(`${day(1)}T12:00:00Z`)
  const dispatched = { orderLine, lots: lotsOf(3), route: refOf('Route', 'van') }
  await record({ dispatched })
  expect(await line()).toMatchObject({ dispatched: 3, delivered: 0, onRoad: 3 })
  expect(await list()).toEqual({ onRoad: 3, atAccounts: 2, called: 2 })
  await record(recalled(3, true))
  expect(await line()).toMatchObject({ dispatched: 0, onRoad: 3 })
})
