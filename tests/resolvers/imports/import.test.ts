// Many things in one call: each whole or not at all, in their order, and others get their turn meanwhile.
import { expect, test } from 'vitest'
import { InvalidInput, Refusal } from '../../../src/errors.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { importOrders } from '../../../src/resolvers/imports/import-orders.ts'
import {
  importAccounts,
  importBeers,
  importFleets,
  importStockLots,
} from '../../../src/resolvers/imports/import-setup.ts'
import type { Imported } from '../../../src/resolvers/imports/imported.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { workFor } from '../../../src/thread-turns.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'
import { processorTime } from '../../support/processor-time.ts'
import { LONG } from '../../support/sampled.ts'

const { client, actor, scenario, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today } = scenario.problem
const account = { externalRef: 'C-101' }
const serveOn = addDays(today, 30)

const order = (externalRef: string, more: object = {}) => ({
  ...{ externalRef, account, serveOn, accept: 'AS_DEMAND' },
  lines: [{ pack: { externalRef: 'MAR-KEG50' }, quantity: 1 }],
  ...more,
})
const outcomes = ({ results }: Imported) =>
  results.map(({ externalRef, became }) => [externalRef, became instanceof Refusal ? became.code : became.did])

test('orders are placed, amended, left or refused, each for itself and in their order', async () => {
  const first = await importOrders(actor, { orders: [order('I-1'), order('I-2'), order('I-3', { upsert: false })] })
  expect(outcomes(first)).toEqual([
    ['I-1', 'CREATED'],
    ['I-2', 'CREATED'],
    ['I-3', 'CREATED'],
  ])
  const { revision } = await stored()
  expect(first.revision).toBe(revision)
  const second = await importOrders(actor, {
    orders: [
      order('I-1'),
      order('I-4', { lines: [{ pack: { externalRef: 'NONE' }, quantity: 0 }] }),
      order('I-2', { note: 'gate' }),
      order('I-5'),
      order('I-5'),
      order('I-3', { upsert: false }),
      'no order',
      { ...order('I-6'), externalRef: undefined },
      order('I-7', { accept: 'ON_TIME_ONLY', lines: [{ pack: { externalRef: 'MAR-KEG50' }, quantity: 900_000 }] }),
    ],
  })
  expect(outcomes(second)).toEqual([
    ['I-1', 'UNCHANGED'],
    ['I-4', 'OUT_OF_RANGE'],
    ['I-2', 'UPDATED'],
    ['I-5', 'CREATED'],
    ['I-5', 'DUPLICATE_ENTRY'],
    ['I-3', 'EXTERNAL_REF_TAKEN'],
    [undefined, 'WRONG_TYPE'],
    [undefined, 'MISSING_VALUE'],
    ['I-7', 'NO_PLAN_FITS'],
  ])
  const wrong = second.results[1]?.became
  if (!(wrong instanceof InvalidInput)) throw wrong
  expect(wrong.issues.map(({ path }) => path).sort()).toEqual(['lines[0].pack', 'lines[0].quantity'])
  expect((await stored()).revision).toBe(revision + 2)
  expect(await client.order.count({ where: { distributorId, externalRef: { startsWith: 'I-' } } })).toBe(4)
  await expectValid()
})

test('another order is placed before a large import is done', async () => {
  const orders = Array.from({ length: 48 }, (_, index) => order(`W-${index}`))
  const importing = importOrders(actor, { orders })
  const other = await placeOrder(actor, order('BETWEEN'))
  const { results } = await importing
  const last = results.at(-1)?.became
  if (!last || last instanceof Refusal) throw last
  expect(other.revision).toBeLessThan(last.revision)
  await expectValid()
})

test('none, too many, or something else than a list is refused as a whole', async () => {
  for (const orders of [[], Array.from({ length: 1001 }, () => order('X')), 'none'])
    await expect(importOrders(actor, { orders })).rejects.toBeInstanceOf(InvalidInput)
})

test('set-up is imported some in a transaction with one repair: what is refused leaves nothing, the rest is there', async () => {
  const route = await client.route.findFirstOrThrow({ where: { distributorId, externalRef: { not: null } } })
  const routes = [{ externalRef: route.externalRef }]
  const before = await stored()
  const accounts = [
    { externalRef: 'A-1', name: 'The First', routes },
    { externalRef: 'A-2', name: '', routes },
    { externalRef: 'A-3', name: 'The Third', routes: [{ externalRef: 'NONE' }] },
    { externalRef: 'A-4', name: 'The Fourth', routes, windows: [{ from: '10:00', to: '12:00' }] },
  ]
  expect(outcomes(await importAccounts(actor, { accounts }))).toEqual([
    ['A-1', 'CREATED'],
    ['A-2', 'BAD_LENGTH'],
    ['A-3', 'UNKNOWN_REFERENCE'],
    ['A-4', 'CREATED'],
  ])
  expect((await stored()).revision).toBe(before.revision + 2)
  const renamed = [{ ...accounts[0], name: 'The Last' }, accounts[3] ?? {}]
  expect(outcomes(await importAccounts(actor, { accounts: renamed }))).toEqual([
    ['A-1', 'UPDATED'],
    ['A-4', 'UNCHANGED'],
  ])
  const log = await client.changeLogEntry.findMany({
    where: { distributorId, revision: { gt: before.revision } },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
  })
  expect(log.map(({ revision, n, kind }) => [revision - before.revision, n, kind])).toEqual([
    [1, 1, 'ACCOUNT_CREATED'],
    [2, 1, 'ACCOUNT_CREATED'],
    [3, 1, 'ACCOUNT_CHANGED'],
  ])
  await expectValid()
})

test('what the ledger refuses after a row was written is undone, and no other thing with it', async () => {
  const [one, two] = await client.fleet.findMany({ where: { distributorId }, orderBy: { id: 'asc' }, take: 2 })
  if (!one || !two) throw new Error('the demo has two fleets')
  for (const [{ id }, externalRef] of [
    [one, 'FLEET-1'],
    [two, 'FLEET-2'],
  ] as const)
    await client.fleet.update({ where: { distributorId_id: { distributorId, id } }, data: { externalRef } })
  const site = { id: encodeGlobalId('Site', one.siteId) }
  const containerType = { id: encodeGlobalId('ContainerType', one.containerTypeId) }
  await recordFacts(actor, { facts: [{ bought: { site, containerType, quantity: 5 } }] }, 'the cellar')
  const fleets = [
    { externalRef: 'FLEET-1', washDays: one.washDays + 1, cleanNow: 999 },
    { externalRef: 'FLEET-2', washDays: two.washDays + 1 },
  ]
  expect(outcomes(await importFleets(actor, { fleets }))).toEqual([
    ['FLEET-1', 'SAID_BY_FACTS'],
    ['FLEET-2', 'UPDATED'],
  ])
  const days = await client.fleet.findMany({ where: { distributorId }, orderBy: { id: 'asc' }, take: 2 })
  expect(days.map(({ washDays }) => washDays)).toEqual([one.washDays, two.washDays + 1])
  expect(outcomes(await importBeers(actor, { beers: [{ externalRef: 'B-1', name: 'Dusk' }] }))).toEqual([
    ['B-1', 'MISSING_VALUE'],
  ])
  expect(outcomes(await importStockLots(actor, { stockLots: [{ externalRef: 'LOT', quantity: -1 }] }))).toEqual([
    ['LOT', 'MISSING_VALUE'],
  ])
})

test('others get their turn between the transactions of an import of set-up', async () => {
  const routes = [{ id: encodeGlobalId('Route', scenario.problem.routes[0]?.id ?? '') }]
  const accounts = Array.from({ length: 60 }, (_, n) => ({ externalRef: `TURN-${n}`, name: `Turn ${n}`, routes }))
  let isImporting = true
  const others = workFor({ line: 'others' }, async () => {
    let answered = 0
    for (; isImporting; answered += 1) await client.account.count({ where: { distributorId } })
    return answered
  })
  const { results } = await importAccounts(actor, { accounts })
  isImporting = false
  expect(results).toHaveLength(60)
  expect(await others).toBeGreaterThanOrEqual(2)
})

/** Milliseconds of the processor that it takes to import so many orders of beer that is in short supply, all of them new. */
async function importTakes(count: number, of: string): Promise<number> {
  const orders = Array.from({ length: count }, (_, index) =>
    order(`${of}-${index}`, { accept: 'LATER', serveOn: addDays(today, 20 + (index % 40)) }),
  )
  return (await processorTime(() => importOrders(actor, { orders }))).took
}

test('ten times as many orders take at most twenty times as long', async () => {
  const few = LONG ? 100 : 4
  await importTakes(few, 'WARM')
  const [one, ten] = [await importTakes(few, 'FEW'), await importTakes(10 * few, 'MANY')]
  expect(ten / one).toBeLessThan(20)
  await expectValid()
})
