// Promises kept in view: a fact that the plan in force cannot stand puts promises at risk; that is logged in the same
// revision, shown until the promise is safe again, and logged once.
import { expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { planInForceId } from '../../../src/resolvers/orders/lines-in-force.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { readMovedOn } from '../../../src/resolvers/orders/risks.ts'
import { type PromiseNews, watchPromises } from '../../../src/resolvers/orders/watch-promises.ts'
import { changeVessel } from '../../../src/resolvers/setup/vessel.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, faults, scenario, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today, horizonDays, vessels, accounts } = scenario.problem
const account = { id: encodeGlobalId('Account', accounts[0]?.id ?? '') }
const fermenters = vessels.filter(({ kind }) => kind === 'FERMENTER')
const outOfService = [{ from: today, to: addDays(today, horizonDays - 1) }]

const order = await placeOrder(actor, {
  account,
  serveOn: addDays(today, 3),
  accept: 'LATER',
  lines: [{ pack: { externalRef: 'BLO-FIRKIN' }, quantity: 3 }],
})
const line = await client.orderLine.findFirstOrThrow({ where: { distributorId, orderId: order.id } })
const promisedOn = line.promisedOn?.toISOString().slice(0, 10)

const news = () =>
  client.changeLogEntry.findMany({
    where: { distributorId, entityId: line.id, kind: { startsWith: 'PROMISE_' } },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
  })
const stopFermenters = async (spans: object[]) => {
  for (const { id } of fermenters)
    await changeVessel(actor, { vessel: { id: encodeGlobalId('Vessel', id) }, outOfService: spans })
}

test('vessels that are out put a promise at risk: logged once, with the cause, and heard at once', async () => {
  const stream = await watchPromises(actor)
  const heard: PromiseNews[] = []
  const listening = (async () => {
    for await (const each of stream) if (each.lineId === line.id && heard.push(each) === 1) return
  })()
  await stopFermenters(outOfService)
  await listening
  const entries = await news()
  expect(entries.length).toBeGreaterThan(0)
  expect(entries.every(({ kind }) => kind === 'PROMISE_AT_RISK')).toBe(true)
  const [first] = entries
  expect(heard[0]).toMatchObject({ atRisk: true, promisedOn, revision: first?.revision })
  expect(first?.after).toMatchObject({ promisedOn, cause: { kind: 'VESSEL_CHANGED', type: 'Vessel' } })
  // It is logged in the revision that caused it.
  const cause = await client.changeLogEntry.findFirstOrThrow({
    where: { distributorId, revision: first?.revision, kind: 'VESSEL_CHANGED' },
  })
  expect(heard[0]?.cause.id).toBe(cause.entityId)
  const last = entries.at(-1)?.after
  // The plan in force was repaired in that revision: its rows say what they can keep.
  const { plan } = await expectValid()
  const broken = plan.brokenPromises?.find(({ orderLineId }) => orderLineId === line.id)
  expect(broken?.reasons.length).toBeGreaterThan(0)
  expect(last).toMatchObject({ expectedOn: broken?.now })
})

test('an order that comes then logs nothing twice', async () => {
  const before = await news()
  await placeOrder(actor, {
    account,
    serveOn: addDays(today, 10),
    accept: 'AS_DEMAND',
    lines: [{ pack: { externalRef: 'MAR-KEG50' }, quantity: 1 }],
  })
  expect(await news()).toEqual(before)
  const { plan } = await expectValid()
  expect(plan.brokenPromises?.map(({ orderLineId }) => orderLineId)).toContain(line.id)
  expect((await readMovedOn(actor, await planInForceId(actor))).size).toBe(0)
})

test('the plan in force keeps the promise again as soon as the vessels are back', async () => {
  await stopFermenters([])
  const last = (await news()).at(-1)
  expect(last).toMatchObject({
    kind: 'PROMISE_SAFE_AGAIN',
    after: { promisedOn, cause: { kind: 'VESSEL_CHANGED', type: 'Vessel' } },
  })
  const { plan } = await expectValid()
  expect(plan.brokenPromises?.map(({ orderLineId }) => orderLineId) ?? []).not.toContain(line.id)
  expect(faults).toEqual([])
})

test('who stops listening is let go', async () => {
  const stream = await watchPromises(actor)
  const next = stream.next()
  await stream.return?.()
  expect(await next).toEqual({ done: true, value: undefined })
})
