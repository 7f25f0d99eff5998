// Tables over HTTP: what each holds, and for which keys.
import Papa from 'papaparse'
import { expect, test } from 'vitest'
import { hashKey } from '../../src/resolvers/access/authenticate.ts'
import type { DemoUser } from '../../src/resolvers/access/demo-keys.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { TABLES } from '../../src/resolvers/tables/tables.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { app, data, client, clock, keys, scenario } = await openTestApi({ planned: true })
const { baseline: plan } = scenario.problem
if (!plan) throw new Error('a plan is in force')

const get = (path: string, key: string | null = keys.admin, init: RequestInit = {}) =>
  app.fetch(`http://test/export/${path}`, { ...init, headers: key === null ? {} : { authorization: `Bearer ${key}` } })
const rowsOf = (text: string) => {
  const { data, errors } = Papa.parse<Record<string, string>>(text, { header: true, newline: '\r\n', delimiter: ',' })
  expect(errors.filter(({ type }) => type !== 'FieldMismatch')).toEqual([])
  return data.slice(0, -1)
}
const read = async (path: string, as: DemoUser = 'admin') => {
  const answer = await get(path, keys[as])
  expect(answer.status).toBe(200)
  return rowsOf(await answer.text())
}
const NAMES = Object.keys(TABLES)

test('orders have a row for each line that was not cancelled, with what was asked for and what became of it', async () => {
  const lines = await client.orderLine.findMany({
    where: {
      distributorId: DEMO_ID,
      status: { not: 'CANCELLED' },
      order: { status: { notIn: ['RESERVED', 'LAPSED'] } },
    },
    include: { order: { include: { account: true } }, pack: true },
    orderBy: [{ order: { number: 'asc' } }, { lineNumber: 'asc' }],
  })
  const rows = await read('orders.csv')
  expect(
    rows.map(({ number, account, pack, quantity, serveOn }) => [number, account, pack, quantity, serveOn]),
  ).toEqual(
    lines.map(({ order, pack, quantity, serveOn }) => [
      String(order.number),
      order.account.externalRef,
      pack.externalRef,
      String(quantity),
      serveOn.toISOString().slice(0, 10),
    ]),
  )
  expect(rows.length).toBeGreaterThan(50)
})

test('names with quotes, commas, line breaks, and what looks like a formula come through an independent parser', async () => {
  const [account] = await client.account.findMany({
    where: { distributorId: DEMO_ID },
    orderBy: { id: 'asc' },
    take: 1,
  })
  const CHANGE = `mutation ($input: ChangeAccountInput!) { changeAccount(input: $input) { __typename } }`
  const [name, notes] = ['The "Gate", upper\r\nbar', '=HYPERLINK("http://x")\nleft']
  await data(CHANGE, { input: { account: { id: encodeGlobalId('Account', account?.id ?? '') }, name, notes } })
  const [row] = await read('accounts.csv')
  expect([row?.name, row?.notes]).toEqual([name, `'${notes}`])
})

test('the plan in force has its brews, transfers, fills and what leaves; orders are named for those who may read them', async () => {
  const rows = await read('plan.csv')
  const of = (kind: string) => rows.filter((row) => row.kind === kind)
  expect(of('BREW')).toHaveLength(plan.brews.length)
  expect(of('TRANSFER')).toHaveLength(plan.transfers.length)
  expect(of('FILL').reduce((sum, { quantity }) => sum + Number(quantity), 0)).toBe(
    plan.fillRuns.reduce((sum, { quantity }) => sum + quantity, 0),
  )
  expect(of('DISPATCH')).toHaveLength(plan.deliveries.flatMap(({ from }) => from).length)
  expect(
    of('DISPATCH').every(({ orderNumber, account, lot, fillRun }) => orderNumber && account && (lot || fillRun)),
  ).toBe(true)
  const MAKE = `mutation ($input: CreateApiKeyInput!) { createApiKey(input: $input) { ... on CreateApiKeyPayload { key } } }`
  const { createApiKey } = Object(await data(MAKE, { input: { name: 'Board', scopes: ['plan:read'] } }))
  const shown = rowsOf(await (await get('plan.csv', createApiKey.key)).text())
  expect(shown).toHaveLength(rows.length)
  expect(new Set(shown.map(({ orderNumber, orderRef }) => `${orderNumber}${orderRef}`))).toEqual(new Set(['']))
})

test('movements are those of the ledger, and parameters ask for some', async () => {
  const delivery = plan.deliveries.find(({ from }) => from.every(({ stockLotId }) => stockLotId !== undefined))
  const orderLine = { id: encodeGlobalId('OrderLine', delivery?.orderLineId ?? '') }
  const RECORD = `mutation ($input: RecordFactsInput!) { recordFacts(input: $input) { __typename } }`
  const facts = [{ dispatched: { orderLine } }, { delivered: { orderLine } }]
  expect(await data(RECORD, { input: { facts } })).toEqual({ recordFacts: { __typename: 'FactsPayload' } })
  const MOVEMENTS = `{ movements(first: 500) { edges { node { kind day revision n litres containers lot { code } } } } }`
  const { movements } = Object(await data(MOVEMENTS))
  const rows = await read('movements.csv', 'integrator')
  expect(
    rows.map(({ kind, day, revision, n, litres, containers, lot }) => [
      kind,
      day,
      revision,
      n,
      litres,
      containers,
      lot,
    ]),
  ).toEqual(
    movements.edges.map(({ node }: { node: Record<string, unknown> }) =>
      [node.kind, node.day, node.revision, node.n, node.litres, node.containers, Object(node.lot).code ?? ''].map(
        String,
      ),
    ),
  )
  expect(rows.length).toBeGreaterThan(1)
  expect(await read('movements.csv?from=2100-01-01')).toEqual([])
})

test('each table says what it is, HEAD sends no body, and other methods are refused', async () => {
  for (const name of NAMES) {
    const answer = await get(`${name}.csv`)
    expect(Object.fromEntries(answer.headers)).toMatchObject({
      'content-type': 'text/csv; charset=utf-8; header=present',
      'content-disposition': `attachment; filename="${name}.csv"`,
      ratelimit: expect.stringContaining('"requests"'),
    })
    expect((await answer.text()).endsWith('\r\n')).toBe(true)
    expect(await (await get(`${name}.csv`, keys.admin, { method: 'HEAD' })).text()).toBe('')
    expect((await get(`${name}.csv`, keys.admin, { method: 'DELETE' })).status).toBe(405)
  }
  expect((await get('secrets.csv')).status).toBe(404)
})

test('a parameter that a table does not take is refused by name, and so is what is not there', async () => {
  for (const name of NAMES) {
    const wrong = await get(`${name}.csv?colour=red`)
    expect([name, wrong.status, await wrong.text()]).toEqual([name, 400, expect.stringContaining('colour')])
  }
  expect((await get('orders.csv?account=NONE')).status).toBe(404)
  const some = await read('orders.csv?account=C-101&status=OPEN')
  expect(new Set(some.map(({ account }) => account))).toEqual(new Set(['C-101']))
})

test('a table needs the scope that the API asks for the same; a key that is none, was revoked, or is of others gets nothing', async () => {
  const { movements: _, ...others } = TABLES
  expect(Object.values(others).map(({ scope }) => scope)).toEqual([
    'orders:read',
    'any',
    'any',
    'any',
    'any',
    'plan:read',
  ])
  expect((await get('movements.csv', keys.sales)).status).toBe(403)
  await client.distributor.create({ data: { id: 'other', name: 'Other', timeZone: 'UTC' } })
  const made = { name: 'k', scopes: ['orders:read', 'plan:read', 'movements:read'], createdAt: clock.now() }
  const [bare, stranger, gone] = ['fw_bare_key_of_none', 'fw_key_of_a_stranger', 'fw_key_that_is_gone']
  await client.apiKey.createMany({
    data: [
      { ...made, distributorId: DEMO_ID, scopes: ['webhooks:write'], hash: hashKey(bare) },
      { ...made, distributorId: 'other', hash: hashKey(stranger) },
      { ...made, distributorId: DEMO_ID, hash: hashKey(gone), revokedAt: clock.now() },
    ],
  })
  for (const [name, { scope }] of Object.entries(TABLES)) {
    const bareAnswer = await get(`${name}.csv`, bare)
    expect([name, bareAnswer.status]).toEqual([name, scope === 'any' ? 200 : 403])
    expect(rowsOf(await (await get(`${name}.csv`, stranger)).text())).toEqual([])
    for (const key of [gone, 'fw_none', null]) {
      const answer = await get(`${name}.csv`, key)
      expect([name, answer.status, (await answer.text()).includes('\r\n')]).toEqual([name, 401, false])
    }
  }
})
