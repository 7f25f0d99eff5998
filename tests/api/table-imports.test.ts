// Tables that are sent over HTTP: what became of each thing, by row and column; who may send them; and that what was exported comes back.
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import { hashKey } from '../../src/resolvers/access/authenticate.ts'
import { TABLE_IMPORTS } from '../../src/resolvers/tables/imports.ts'
import { type Cell, csvLine } from '../../src/tables/cells.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'
import { LONG } from '../support/sampled.ts'

const { app, client, clock, keys, revision, scenario, faults } = await openTestApi({ planned: true })
const serveOn = addDays(scenario.problem.today, 20)
const NAMES = Object.keys(TABLE_IMPORTS)

const headersOf = (key: string | null, more: Record<string, string> = {}) => ({
  'content-type': 'text/csv',
  ...(key === null ? {} : { authorization: `Bearer ${key}` }),
  ...more,
})
const post = (path: string, body: BodyInit, key: string | null = keys.admin, more: Record<string, string> = {}) =>
  app.fetch(`http://test/import/${path}`, { method: 'POST', body, headers: headersOf(key, more) })
const exported = async (name: string) =>
  (await app.fetch(`http://test/export/${name}.csv`, { headers: { authorization: `Bearer ${keys.admin}` } })).text()
const tableOf = (...rows: Cell[][]) => rows.map(csvLine).join('')
const HEAD = ['externalRef', 'account', 'accept', 'note', 'pack', 'quantity', 'serveOn']
const line = (externalRef: string, quantity: Cell = 1, note: Cell = null, pack = 'MAR-KEG50') => [
  externalRef,
  'C-101',
  'ON_TIME_ONLY',
  note,
  pack,
  quantity,
  serveOn,
]

test('rows of one reference are one order, and it is answered for each what became of it and in which rows', async () => {
  const body = tableOf(HEAD, line('T-1'), line('T-2', 1, '="note"'), line('T-1', 2), line('T-3', 900_000))
  const answer = await post('orders.csv', body, keys.sales)
  expect(answer.status).toBe(200)
  expect(await answer.json()).toMatchObject({
    notRead: [],
    results: [
      { rows: [2, 4], externalRef: 'T-1', outcome: 'CREATED', entity: expect.any(String), errors: [] },
      { rows: [3], externalRef: 'T-2', outcome: 'CREATED' },
      {
        rows: [5],
        externalRef: 'T-3',
        outcome: 'REFUSED',
        entity: null,
        errors: [{ code: 'NO_PLAN_FITS', issues: [] }],
      },
    ],
  })
  const order = await client.order.findFirstOrThrow({ where: { externalRef: 'T-1' }, include: { lines: true } })
  expect(order.lines.map(({ quantity }) => quantity).sort()).toEqual([1, 2])
  expect((await client.order.findFirstOrThrow({ where: { externalRef: 'T-2' } })).note).toBe('="note"')
  const again = await post('orders.csv', body, keys.sales)
  expect(await again.json()).toMatchObject({ results: [{ outcome: 'UNCHANGED' }, { outcome: 'UNCHANGED' }, {}] })
})

test('what is wrong with a cell is said by row and column, and the other things are written', async () => {
  const answer = await post(
    'orders.csv',
    tableOf(
      HEAD,
      line('W-1', 'four'),
      line('W-2'),
      line('W-3'),
      line('W-3', 1, 'else', 'NONE'),
      line('W-4'),
      line('W-4', 1, null, 'NONE'),
    ),
  )
  const { results } = Object(await answer.json())
  expect(results.map(({ outcome }: { outcome: string }) => outcome)).toEqual([
    'REFUSED',
    'CREATED',
    'REFUSED',
    'REFUSED',
  ])
  expect(results[0].errors[0].issues).toMatchObject([
    { row: 2, column: 'quantity', code: 'WRONG_TYPE', action: expect.any(String) },
  ])
  expect(results[2].errors[0].issues).toMatchObject([{ row: 5, column: 'note', code: 'CSV_ROWS_DISAGREE' }])
  expect(results[3].errors[0].issues).toMatchObject([{ row: 7, column: 'pack', code: 'UNKNOWN_REFERENCE' }])
  const accounts = tableOf(
    ['externalRef', 'name', 'routes', 'windows', 'settleDays'],
    ['A-1', 'The Loft', 'R1', '1,2 10:00-12:00; 13:00-14:00', null],
    ['A-2', 'The Gate', 'R1;NONE', 'in the morning', 'x'],
  )
  const said = Object(await (await post('accounts.csv', accounts)).json()).results
  expect(said[0]).toMatchObject({ outcome: 'CREATED' })
  expect(said[1].errors[0].issues).toMatchObject([
    { row: 3, column: 'settleDays' },
    { row: 3, column: 'windows', message: expect.stringContaining('1,2,3 10:00-12:00') },
    { row: 3, column: 'routes', code: 'UNKNOWN_REFERENCE' },
  ])
})

test('a file that is no table of ours is refused as a whole, and nothing of it is written', async () => {
  const before = await revision()
  const wrong: [string, string, string][] = [
    ['CSV_UNKNOWN_COLUMN', tableOf([...HEAD, 'colour'], [...line('X-1'), 'red']), 'colour'],
    ['CSV_MISSING_COLUMN', tableOf(['externalRef', 'account'], ['X-1', 'C-101']), 'quantity'],
    ['CSV_REPEATED_COLUMN', tableOf([...HEAD, 'note'], [...line('X-1'), '']), 'note'],
    ['CSV_CELLS_DIFFER', tableOf(HEAD, line('X-1'), ['X-2']), 'row 3'],
    ['CSV_BAD_QUOTES', `${tableOf(HEAD)}a"b`, 'row 2'],
    ['CSV_BAD_QUOTES', `${tableOf(HEAD)}"x`, 'row 2'],
    ['CSV_NO_ROWS', tableOf(HEAD), 'no rows'],
    ['CSV_TOO_MANY', tableOf(HEAD, ...Array.from({ length: 1001 }, (_, n) => line(`X-${n}`))), 'row 1002'],
  ]
  for (const [code, body, words] of wrong) {
    const answer = await post('orders.csv', body)
    expect([code, answer.status]).toEqual([code, 400])
    const { errors } = Object(await answer.json())
    expect(errors[0].extensions.issues.map((each: { code: string }) => each.code)).toContain(code)
    expect(errors[0].message).toContain(words)
  }
  expect(await revision()).toBe(before)
})

test('of thousands of unknown or repeated columns a refusal names a hundred', async () => {
  const columns = Array.from({ length: 20_000 }, (_, n) => `column${n}`)
  const refused = async (names: readonly string[]) => {
    const answer = await post('orders.csv', tableOf([...HEAD, ...names]))
    expect(answer.status).toBe(400)
    const { issues } = Object(await answer.json()).errors[0].extensions
    return issues.map(({ code }: { code: string }) => code)
  }
  const hundred = (code: string) => Array<string>(100).fill(code)
  expect(await refused(columns)).toEqual(hundred('CSV_UNKNOWN_COLUMN'))
  expect(await refused(columns.map(() => 'note'))).toEqual(hundred('CSV_REPEATED_COLUMN'))
})

test('what is exported and sent back changes nothing, and comes out as the same bytes', async () => {
  const notes = '=1+1, "quoted"\r\nand -2; \\'
  await client.account.update({
    where: { distributorId_id: { distributorId: DEMO_ID, id: scenario.problem.accounts[0]?.id ?? '' } },
    data: { notes, name: '-The "Gate"' },
  })
  const every = { where: { distributorId: DEMO_ID } }
  const named = ({ id }: { id: string }) => ({
    ...{ where: { distributorId_id: { distributorId: DEMO_ID, id } }, data: { externalRef: `-ref;"${id}"` } },
  })
  for (const lot of await client.stockLot.findMany(every)) await client.stockLot.update(named(lot))
  for (const fleet of await client.fleet.findMany(every)) await client.fleet.update(named(fleet))
  for (const name of NAMES) {
    const [before, rev] = [await exported(name), await revision()]
    const answer = await post(`${name}.csv`, before)
    const { results, notRead } = Object(await answer.json())
    const outcomes = new Set(
      results.map(
        ({ outcome, externalRef }: { outcome: string; externalRef: string | null }) => externalRef && outcome,
      ),
    )
    outcomes.delete(null)
    expect([name, [...outcomes]]).toEqual([name, ['UNCHANGED']])
    expect(notRead).toContain('updatedAt')
    expect(await revision()).toBe(rev)
    expect(await exported(name)).toBe(before)
  }
})

test('whatever texts a thing has, it comes back from its table as it was', async () => {
  const [account] = await client.account.findMany({
    where: { distributorId: DEMO_ID },
    take: 1,
    include: { routes: true },
  })
  const unit = fc.constantFrom('a', '"', ',', ';', '\\', "'", '=', '-', '@', '[', ']', ' ', '\r\n', 'é', 'id:')
  const text = fc
    .string({ unit, minLength: 1, maxLength: 40 })
    .map((each) => each.trim())
    .filter((each) => each !== '')
  const where = { distributorId_id: { distributorId: DEMO_ID, id: account?.id ?? '' } }
  const routeId = account?.routes[0]?.routeId ?? ''
  await fc.assert(
    fc.asyncProperty(fc.record({ name: text, notes: text, externalRef: text }), text, async (data, routeRef) => {
      await client.account.update({ where, data })
      const route = { distributorId_id: { distributorId: DEMO_ID, id: routeId } }
      await client.route.update({ where: route, data: { externalRef: routeRef } })
      const [before, rev] = [await exported('accounts'), await revision()]
      const { results } = Object(await (await post('accounts.csv', before)).json())
      expect(new Set(results.map(({ outcome }: { outcome: string }) => outcome))).toEqual(new Set(['UNCHANGED']))
      expect([await revision(), await exported('accounts')]).toEqual([rev, before])
    }),
    { numRuns: LONG ? 100 : 4 },
  )
})

test('the key is judged before the body is read, and no other key than one that may write these gets in', async () => {
  const [stranger, gone] = ['fw_key_of_a_stranger', 'fw_key_that_is_gone']
  await client.distributor.create({ data: { id: 'other', name: 'Other', timeZone: 'UTC' } })
  const made = { name: 'k', scopes: ['orders:write', 'setup:write'], createdAt: clock.now() }
  await client.apiKey.createMany({
    data: [
      { ...made, distributorId: 'other', hash: hashKey(stranger) },
      { ...made, distributorId: DEMO_ID, hash: hashKey(gone), revokedAt: clock.now() },
    ],
  })
  const before = await revision()
  for (const name of NAMES) {
    const statuses = []
    for (const key of [keys.floor, gone, 'fw_none', null]) {
      let wasRead = false
      const body = new ReadableStream(
        {
          pull(controller) {
            wasRead = true
            controller.close()
          },
        },
        { highWaterMark: 0 },
      )
      const init = { method: 'POST', body, headers: headersOf(key), duplex: 'half' }
      statuses.push((await app.fetch(`http://test/import/${name}.csv`, init)).status, wasRead)
    }
    expect([name, ...statuses]).toEqual([name, 403, false, 401, false, 401, false, 401, false])
    expect((await app.fetch(`http://test/import/${name}.csv`)).status).toBe(405)
  }
  const sent = await post('orders.csv', tableOf(HEAD, line('STRANGE')), stranger)
  expect(await sent.json()).toMatchObject({ results: [{ outcome: 'REFUSED' }] })
  expect(await revision()).toBe(before)
})

test('a body may be larger than elsewhere up to its limit, and is text/csv', async () => {
  const body = tableOf(HEAD, line('LARGE', 1, 'n'.repeat(400_000)))
  expect(await (await post('orders.csv', body)).json()).toMatchObject({
    results: [{ errors: [{ issues: [{ row: 2, column: 'note', code: 'BAD_LENGTH' }] }] }],
  })
  const huge = await post('orders.csv', Buffer.alloc(16 * 1024 * 1024 + 1, 'a'))
  expect([huge.status, await huge.text()]).toEqual([413, expect.stringContaining('REQUEST_TOO_LARGE')])
  const json = await post('orders.csv', '{}', keys.admin, { 'content-type': 'application/json' })
  expect(json.status).toBe(415)
})

test('with the header Idempotency-Key a table is taken once: the same is answered as before, another is refused', async () => {
  const key = { 'idempotency-key': '"table-1"' }
  const body = tableOf(HEAD, line('ONCE-1'))
  const first = await (await post('orders.csv', body, keys.sales, key)).text()
  expect(JSON.parse(first)).toMatchObject({ results: [{ outcome: 'CREATED' }] })
  expect(await (await post('orders.csv', body, keys.sales, key)).text()).toBe(first)
  expect((await post('orders.csv', tableOf(HEAD, line('ONCE-2')), keys.sales, key)).status).toBe(422)
  expect((await post('orders.csv', body, keys.sales, { 'idempotency-key': 'bare' })).status).toBe(400)
  await client.apiKey.update({
    where: { distributorId_id: { distributorId: DEMO_ID, id: 'sales' } },
    data: { requiresIdempotencyKey: true },
  })
  const missing = await post('orders.csv', body, keys.sales)
  expect([missing.status, await missing.text()]).toEqual([400, expect.stringContaining('IDEMPOTENCY_KEY_MISSING')])
  expect(faults).toEqual([])
})
