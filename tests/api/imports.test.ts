// Many things in one call over the API: what became of each, and why.
import { expect, test } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'

const { client, scenario, data } = await openTestApi({ planned: true })
const serveOn = addDays(scenario.problem.today, 20)

const READ = `... on ImportPayload { revision results { externalRef outcome entity revision
  errors { code message issues { path code } reasons { message } } } }
  ... on Forbidden { scope }`
const ORDERS = `mutation ($input: ImportOrdersInput!) { importOrders(input: $input) { __typename ${READ} } }`
const ACCOUNTS = `mutation ($input: ImportAccountsInput!) { importAccounts(input: $input) { __typename ${READ} } }`
const order = (externalRef: string, quantity = 1) => ({
  ...{ externalRef, account: { externalRef: 'C-101' }, serveOn, accept: 'ON_TIME_ONLY' },
  lines: [{ pack: { externalRef: 'MAR-KEG50' }, quantity }],
})

test('an import answers for each order what became of it, its id, and why it was refused', async () => {
  const orders = [order('API-1'), order('API-2', 900_000), order('API-3', 0)]
  const { importOrders } = await data(ORDERS, { input: { orders } }, 'sales')
  expect(importOrders).toMatchObject({
    results: [
      { externalRef: 'API-1', outcome: 'CREATED', entity: expect.any(String), errors: [] },
      {
        outcome: 'REFUSED',
        entity: null,
        revision: null,
        errors: [{ code: 'NO_PLAN_FITS', issues: [], reasons: [{}] }],
      },
      { outcome: 'REFUSED', errors: [{ issues: [{ path: 'lines[0].quantity', code: 'OUT_OF_RANGE' }] }] },
    ],
  })
  const again = await data(ORDERS, { input: { orders: orders.slice(0, 1) } }, 'sales')
  expect(again.importOrders).toMatchObject({ results: [{ outcome: 'UNCHANGED', errors: [] }] })
  expect(await client.order.count({ where: { externalRef: { startsWith: 'API-' } } })).toBe(1)
})

test('an order that is refused before others are looked at leaves no rejection behind that would end the server', async () => {
  const unheard: unknown[] = []
  const note = (reason: unknown) => unheard.push(reason)
  process.on('unhandledRejection', note)
  // What is in memory is used: the refusal comes before the lock.
  const orders = [order('AHEAD-0', 0), order('AHEAD-1'), order('AHEAD-2'), order('AHEAD-3', 0), order('AHEAD-4')]
  const { importOrders } = await data(ORDERS, { input: { orders } }, 'sales')
  await new Promise((resolve) => setTimeout(resolve, 10))
  process.off('unhandledRejection', note)
  const outcomes = ['REFUSED', 'CREATED', 'CREATED', 'REFUSED', 'CREATED']
  expect(importOrders).toMatchObject({ results: outcomes.map((outcome) => ({ outcome })) })
  expect(unheard).toEqual([])
})

test('set-up is imported with the scope of set-up', async () => {
  const input = { accounts: [{ externalRef: 'API-A', name: 'The Gate', routes: [] }] }
  expect((await data(ACCOUNTS, { input }, 'sales')).importAccounts).toMatchObject({ scope: 'setup:write' })
  expect((await data(ACCOUNTS, { input })).importAccounts).toMatchObject({ results: [{ outcome: 'CREATED' }] })
})
