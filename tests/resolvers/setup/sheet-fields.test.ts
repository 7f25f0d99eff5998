// What sheets need of the set-up: which values belong together, and what becomes of the order of drops.
import { expect, test } from 'vitest'
import { demoScenario } from '../../../seeds/demo.ts'
import { saveSetup } from '../../../src/records/save-setup.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { changeAccount } from '../../../src/resolvers/setup/account.ts'
import { changeBeer } from '../../../src/resolvers/setup/beer.ts'
import { changePack } from '../../../src/resolvers/setup/pack.ts'
import { changeRoute } from '../../../src/resolvers/setup/route.ts'
import { openTestDatabase } from '../../support/database.ts'

const { client, clock } = await openTestDatabase()
const distributorId = 'd'
const actor = { client, clock, distributorId }
const ref = (externalRef: string) => ({ externalRef })
const PACK = { pack: ref('FOO-FIRKIN') }

clock.set('2027-03-01T09:00:00Z')
await client.$transaction((tx) => saveSetup(tx, distributorId, demoScenario('2027-03-01'), clock.now()))

const pathsOf = (written: Promise<unknown>) =>
  written.then(
    () => [],
    ({ issues = [] }: { issues?: { path: string; code: string }[] }) => issues.map(({ path, code }) => [path, code]),
  )

test.each([
  ['a rate without a product', { finingsProduct: null }, [['finingsProduct', 'MISSING_VALUE']]],
  [
    'a product alone',
    { finingsMl: null, finingsPer: null },
    [
      ['finingsMl', 'MISSING_VALUE'],
      ['finingsPer', 'MISSING_VALUE'],
    ],
  ],
  ['a band that ends before it begins', { leastCarbonation: 1.5 }, [['leastCarbonation', 'OUT_OF_RANGE']]],
  ['a target below the band', { targetCarbonation: 0.5 }, [['targetCarbonation', 'OUT_OF_RANGE']]],
  ['a target above the band', { targetCarbonation: 2 }, [['targetCarbonation', 'OUT_OF_RANGE']]],
])('%s is refused by the field that is wrong', async (_what, change, expected) => {
  expect(await pathsOf(changePack(actor, { ...PACK, ...change }))).toEqual(expected)
})

test('no finings at all, or none of the band, is fine', async () => {
  await changePack(actor, { ...PACK, finingsProduct: null, finingsMl: null, finingsPer: null, mostCarbonation: null })
  const row = await client.pack.findFirstOrThrow({ where: { distributorId, externalRef: 'FOO-FIRKIN' } })
  expect([row.finingsProduct, row.finingsMl, row.mostCarbonation, row.targetCarbonation]).toEqual([
    null,
    null,
    null,
    1.1,
  ])
})

test('beer does not end above the gravity at which it is brewed', async () => {
  const changed = changeBeer(actor, { beer: ref('FOO'), originalGravity: 1.005 })
  expect(await pathsOf(changed)).toEqual([['originalGravity', 'OUT_OF_RANGE']])
})

test('a window in which an account takes deliveries ends after it begins', async () => {
  const { externalRef } = await client.account.findFirstOrThrow({
    where: { distributorId, externalRef: { not: null } },
  })
  const windows = [{ from: '10:00', to: '09:00' }]
  const changed = changeAccount(actor, { account: ref(externalRef ?? ''), windows })
  expect(await pathsOf(changed)).toEqual([['windows[0].to', 'OUT_OF_RANGE']])
})

/** The accounts that a route has a place for, in its order. */
async function dropsOf(routeId: string): Promise<string[]> {
  const where = { distributorId, routeId, position: { not: null } }
  const rows = await client.accountRoute.findMany({ where, orderBy: { position: 'asc' } })
  return rows.map(({ accountId }) => accountId)
}

const accountRef = (id: string) => ({ id: encodeGlobalId('Account', id) })
const ROUTE = { route: { id: encodeGlobalId('Route', 'town-dray') } }

test('the drops of a route are set as a whole, and an account that changes keeps its place', async () => {
  const [first = '', second = '', ...rest] = await dropsOf('town-dray')
  expect(rest.length).toBeGreaterThan(0)
  await changeRoute(actor, { ...ROUTE, drops: [accountRef(second), accountRef(first)] })
  expect(await dropsOf('town-dray')).toEqual([second, first])
  await changeAccount(actor, { account: accountRef(first), notes: 'Use the yard.' })
  expect(await dropsOf('town-dray')).toEqual([second, first])
})

test('a drop at an account that the route does not serve, or a second one, is refused', async () => {
  const [first = ''] = await dropsOf('town-dray')
  const { id: other } = await client.account.findFirstOrThrow({
    where: { distributorId, routes: { none: { routeId: 'town-dray' } } },
  })
  const changed = changeRoute(actor, { ...ROUTE, drops: [accountRef(first), accountRef(first), accountRef(other)] })
  expect(await pathsOf(changed)).toEqual([
    ['drops[1]', 'DUPLICATE_ENTRY'],
    ['drops[2]', 'ROUTE_NOT_OF_ACCOUNT'],
  ])
})
