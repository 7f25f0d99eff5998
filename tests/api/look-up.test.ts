// What people know a thing by: an order by its number, accounts and what they order by a part of the name.
import { afterAll, expect, test } from 'vitest'
import { openTestApi } from '../support/api.ts'

const { ask, data, client, faults } = await openTestApi({ planned: true })
const orders = await client.order.findMany({ orderBy: { number: 'asc' }, take: 2 })
const [order] = orders
const number = order?.number ?? 0
const externalRef = order?.externalRef

for (const name of ['A Zigzag Cupboard', 'Café Änderung', 'The 100% Hop_Pole', 'The 100 Hopspoles', 'Back\\Slash'])
  await data('mutation ($input: CreateAccountInput!) { createAccount(input: $input) { __typename } }', {
    input: { name, routes: [] },
  })

afterAll(() => expect(faults).toEqual([]))

test('an order is found by its number', async () => {
  const look = 'query ($by: OrderRef!) { order(by: $by) { number externalRef } }'
  expect(await data(look, { by: { number } }, 'sales')).toEqual({ order: { number, externalRef } })
  const { errors } = await ask(look, { by: { number: 999_999 } }, 'sales')
  expect(errors?.[0]).toMatchObject({
    message: 'There is no Order "999999".',
    extensions: { code: 'NO_SUCH_THING' },
  })
  for (const wrong of [0, -1])
    expect((await ask(look, { by: { number: wrong } }, 'sales')).errors?.[0]?.extensions).toMatchObject({
      code: 'OUT_OF_RANGE',
      issues: [{ path: 'number' }],
    })
})

test('orders are listed by their number', async () => {
  const list = 'query ($filter: OrderFilter) { orders(filter: $filter) { totalCount edges { node { number } } } }'
  expect(await data(list, { filter: { number } }, 'sales')).toEqual({
    orders: { totalCount: 1, edges: [{ node: { number } }] },
  })
  expect(await data(list, { filter: { number, status: 'CANCELLED' } }, 'sales')).toMatchObject({
    orders: { totalCount: 0 },
  })
})

test('an order is amended and cancelled by its number', async () => {
  const AMEND = `mutation ($input: AmendOrderInput!) { amendOrder(input: $input) { ... on OrderPayload { order { number note } } } }`
  const input = { order: { number }, note: 'by its number' }
  expect(await data(AMEND, { input }, 'sales')).toEqual({ amendOrder: { order: { number, note: 'by its number' } } })
  const CANCEL = `mutation ($input: CancelOrderInput!) { cancelOrder(input: $input) { ... on OrderPayload { dryRun order { number } } ... on NotFound { reference } } }`
  expect(await data(CANCEL, { input: { order: { number }, dryRun: true } }, 'sales')).toEqual({
    cancelOrder: { dryRun: true, order: { number } },
  })
  expect(await data(CANCEL, { input: { order: { number: 999_999 } } }, 'sales')).toEqual({
    cancelOrder: { reference: '999999' },
  })
})

async function named(list: 'accounts' | 'packs' | 'beers', name: string): Promise<unknown> {
  return data(`query ($filter: SetupFilter) { ${list}(filter: $filter) { totalCount edges { node { name } } } }`, {
    filter: { name },
  })
}

function pageOf(list: string, names: string[]) {
  return { [list]: { totalCount: names.length, edges: names.map((name) => ({ node: { name } })) } }
}

test('accounts, packs and beers are found by a part of their name, in capitals or small letters', async () => {
  for (const part of ['zigzag', 'CUPBOARD', 'zag cup', ' A Zigzag '])
    expect(await named('accounts', part)).toEqual(pageOf('accounts', ['A Zigzag Cupboard']))
  expect(await named('accounts', 'CAFÉ ä')).toEqual(pageOf('accounts', ['Café Änderung']))
  const beers = await client.beer.findMany({ where: { name: { contains: 'oolscap' } } })
  expect(beers.length).toBeGreaterThan(0)
  expect(await named('beers', 'OOLSCAP')).toEqual(pageOf('beers', beers.map(({ name }) => name).sort()))
  const packs = await client.pack.findMany({ where: { name: { contains: 'oolscap' } } })
  expect(packs.length).toBeGreaterThan(0)
  expect(await named('packs', 'oOlScap')).toMatchObject({ packs: { totalCount: packs.length } })
  expect(await named('accounts', 'no such name')).toEqual(pageOf('accounts', []))
})

test('each word of a name counts by itself, in any order', async () => {
  for (const words of ['zigzag a', 'cupb zigz', ' A   Cupboard '])
    expect(await named('accounts', words)).toEqual(pageOf('accounts', ['A Zigzag Cupboard']))
  expect(await named('accounts', 'zigzag änderung')).toEqual(pageOf('accounts', []))
})

test('the signs % and _ and \\ in a part of a name stand for themselves', async () => {
  expect(await named('accounts', '0% h')).toEqual(pageOf('accounts', ['The 100% Hop_Pole']))
  expect(await named('accounts', 'hop_pole')).toEqual(pageOf('accounts', ['The 100% Hop_Pole']))
  expect(await named('accounts', 'k\\s')).toEqual(pageOf('accounts', ['Back\\Slash']))
  expect(await named('accounts', '%')).toEqual(pageOf('accounts', ['The 100% Hop_Pole']))
})

test('an empty part of a name is refused', async () => {
  const { errors } = await ask('{ accounts(filter: { name: " " }) { totalCount } }')
  expect(errors?.[0]?.extensions?.issues).toMatchObject([{ path: 'filter.name', code: 'BAD_LENGTH' }])
})

test('batches and stock lots are found by a part of their code', async () => {
  for (const [list, row] of [
    ['batches', await client.batch.findFirstOrThrow()],
    ['stockLots', await client.stockLot.findFirstOrThrow()],
  ] as const) {
    const found = await data(
      `query ($filter: StandingFilter) { ${list}(filter: $filter) { totalCount edges { node { code } } } }`,
      { filter: { code: row.code.toLowerCase() } },
    )
    expect(found).toEqual({ [list]: { totalCount: 1, edges: [{ node: { code: row.code } }] } })
    expect(await data(`{ ${list}(filter: { code: "no such code" }) { totalCount } }`)).toEqual({
      [list]: { totalCount: 0 },
    })
  }
})
