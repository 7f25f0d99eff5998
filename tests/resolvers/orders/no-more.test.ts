// Less of what was promised, or just as much, is never refused, also where a place for it would not be found anew.
import { expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { amendOrder } from '../../../src/resolvers/orders/amend-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { ACCOUNT, Brewery, PACK } from '../../model/brewery.ts'
import { openTestDatabase } from '../../support/database.ts'

const TODAY = '2027-03-01'
const brewery = await Brewery.open(await openTestDatabase(), 'd', Date.parse(`${TODAY}T06:00:00Z`))
const { actor } = brewery

const lines = (externalRef: string, quantity: number) => [{ pack: PACK, quantity, externalRef }]
const order = (externalRef: string, quantity: number, days: number, accept: string) =>
  placeOrder(actor, {
    ...{ externalRef, account: ACCOUNT, serveOn: addDays(TODAY, days), accept },
    lines: lines(externalRef, quantity),
  })

test('an order that others have grown around keeps its promise where it asks for no more', async () => {
  // Two brews serve it, of which others have taken since; placed anew it would not fit.
  await order('A', 28, 5, 'ON_TIME_ONLY')
  const { outcome } = await order('MINE', 43, 24, 'ON_TIME_ONLY')
  await order('B', 12, 7, 'AS_DEMAND')
  await order('C', 14, 2, 'AS_DEMAND')
  await order('D', 10, 23, 'ON_TIME_ONLY')
  await order('E', 1, 7, 'LATER')
  const promisedOn = outcome[0]?.promisedOn
  for (const accept of ['ON_TIME_ONLY', 'LATER'])
    for (const quantity of [43, 42, 41, 20]) {
      const changeLines = [{ line: { externalRef: 'MINE' }, quantity }]
      const amended = await amendOrder(actor, { order: { externalRef: 'MINE' }, accept, dryRun: true, changeLines })
      expect(amended.outcome).toMatchObject([{ quantity, served: quantity, promisedOn }])
    }
  const changeLines = [{ line: { externalRef: 'MINE' }, quantity: 42 }]
  await amendOrder(actor, { order: { externalRef: 'MINE' }, accept: 'ON_TIME_ONLY', changeLines })
  expect(await brewery.promisedOn('MINE')).toBe(promisedOn)
})
