// Orders of UBL over HTTP: taken in like any other, refused by element; and what left, as despatch advices.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { hashKey } from '../../src/resolvers/access/authenticate.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { openTestApi } from '../support/api.ts'
import { line, orderXml, type Parts, period } from '../ubl/some-orders.ts'
import { faultsOf, parsed, textsOf } from '../ubl/validate.ts'

const { app, client, clock, data, faults, keys, revision, scenario } = await openTestApi({ planned: true })
const { today } = scenario.problem
const day = addDays(today, 20)

const send = async (xml: string, headers: Record<string, string> = {}, query = '') => {
  const response = await app.fetch(`http://test/import/ubl${query}`, {
    method: 'POST',
    headers: { 'content-type': 'application/xml', authorization: `Bearer ${keys.integrator}`, ...headers },
    body: xml,
  })
  return { status: response.status, body: await response.json() }
}
const order = (id: string, parts: Parts = {}) =>
  orderXml({ id, delivery: period(today, day), lines: line('1', '1', 'MAR-KEG50'), ...parts })
const kept = (externalRef: string) =>
  client.order.findFirst({ where: { externalRef }, include: { account: true, lines: { include: { pack: true } } } })

test('an order is placed for the account, to be served when it has settled after the last day of delivery', async () => {
  const { status, body } = await send(order('UBL-1'))
  expect([status, body]).toEqual([
    200,
    { externalRef: 'UBL-1', outcome: 'CREATED', entity: expect.any(String), revision: await revision() },
  ])
  const placed = await kept('UBL-1')
  const [own] = placed?.lines ?? []
  expect(placed?.account.externalRef).toBe('C-101')
  expect(own).toMatchObject({ externalRef: 'UBL-1/1', quantity: 1, pack: { externalRef: 'MAR-KEG50' } })
  const settles = placed?.account.settleDays ?? own?.pack.settleDays ?? 0
  expect(own?.serveOn.toISOString().slice(0, 10)).toBe(addDays(day, settles))
})

test('sent again it stays as it is, and changed it becomes what is sent', async () => {
  const before = await revision()
  expect((await send(order('UBL-1'))).body).toMatchObject({ outcome: 'UNCHANGED' })
  expect(await revision()).toBe(before)
  const changed = order('UBL-1', { lines: line('1', '2', 'MAR-KEG50'), head: '<cbc:Note>By the yard gate</cbc:Note>' })
  expect((await send(changed)).body).toMatchObject({ outcome: 'UPDATED', revision: before + 1 })
  expect(await kept('UBL-1')).toMatchObject({ note: 'By the yard gate', lines: [{ quantity: 2 }] })
})

const refusal = z.object({
  errors: z.tuple([
    z.object({
      message: z.string(),
      extensions: z.looseObject({
        code: z.string(),
        action: z.string(),
        issues: z.array(z.object({ path: z.string(), code: z.string(), action: z.string() })).optional(),
        reasons: z.array(z.object({ message: z.string() })).optional(),
      }),
    }),
  ]),
})

test('what is wrong with its values and with what it names is refused with the path of each element, and nothing is written', async () => {
  const before = await revision()
  const nobodys = { buyer: '<cbc:SupplierAssignedAccountID>C-999</cbc:SupplierAssignedAccountID>' }
  const { status, body } = await send(
    order('UBL-2', { ...nobodys, lines: line('1', '1', 'NONE') + line('1', '1', 'MAR-KEG50') }),
  )
  expect(status).toBe(400)
  const { message, extensions } = refusal.parse(body).errors[0]
  expect(extensions.issues?.map(({ path, code }) => [path, code])).toEqual(
    expect.arrayContaining([
      ['Order/cac:BuyerCustomerParty/cbc:SupplierAssignedAccountID', 'UNKNOWN_REFERENCE'],
      ['Order/cac:OrderLine[1]/cac:LineItem/cac:Item/cac:SellersItemIdentification/cbc:ID', 'UNKNOWN_REFERENCE'],
    ]),
  )
  expect(message).toContain(
    'Order/cac:OrderLine[1]/cac:LineItem/cac:Item/cac:SellersItemIdentification/cbc:ID: there is no',
  )
  const past = await send(order('UBL-2', { delivery: period('2020-01-01', '2020-01-02') }))
  expect(refusal.parse(past.body).errors[0].extensions.issues).toMatchObject([
    { path: 'Order/cac:Delivery/cac:RequestedDeliveryPeriod/cbc:EndDate', code: 'SERVE_DAY_PAST' },
  ])
  const litres = await send(order('UBL-2', { lines: line('1', '50', 'MAR-KEG50', { unit: ' unitCode="LTR"' }) }))
  expect(refusal.parse(litres.body).errors[0].extensions.issues).toMatchObject([
    { path: 'Order/cac:OrderLine/cac:LineItem/cbc:Quantity', code: 'UNIT_NOT_SERVED' },
  ])
  expect([await revision(), await kept('UBL-2')]).toEqual([before, null])
})

test('what cannot be served on time is refused in words, and taken later where that is accepted', async () => {
  const many = order('UBL-3', { delivery: period(today, addDays(today, 1)), lines: line('1', '60', 'FOO-FIRKIN') })
  const { status, body } = await send(many)
  const { message, extensions } = refusal.parse(body).errors[0]
  expect([status, extensions.code]).toEqual([422, 'NO_PLAN_FITS'])
  expect(message).toMatch(/^It cannot be served as asked\. 60 × \S/)
  expect(extensions.reasons?.[0]?.message).toMatch(/\.$/)
  expect((await send(many, {}, '?accept=LATER')).body).toMatchObject({ outcome: 'CREATED' })
  expect((await send(many, {}, '?accept=MAYBE')).status).toBe(400)
  expect((await send(many, {}, '?moon=1')).status).toBe(400)
})

test('a number that another account has taken is refused', async () => {
  const buyer = '<cbc:SupplierAssignedAccountID>C-102</cbc:SupplierAssignedAccountID>'
  const { status, body } = await send(order('UBL-1', { buyer }))
  expect([status, refusal.parse(body).errors[0].extensions.code]).toEqual([409, 'EXTERNAL_REF_TAKEN'])
})

test('under an idempotency key it is answered as the first time, another document is refused, and one that failed is answered so again', async () => {
  const once = { 'idempotency-key': '"ubl-4"' }
  const first = await send(order('UBL-4'), once)
  expect(first.body).toMatchObject({ outcome: 'CREATED' })
  expect(await send(order('UBL-4'), once)).toEqual(first)
  expect((await send(order('UBL-5'), once)).status).toBe(422)
  expect((await send(order('UBL-4'), { 'idempotency-key': '"ubl-5"' })).body).toMatchObject({ outcome: 'UNCHANGED' })
  const bad = await send('<a/>', { 'idempotency-key': '"ubl-6"' })
  expect(await send('<a/>', { 'idempotency-key': '"ubl-6"' })).toEqual(bad)
  expect(await client.order.count({ where: { externalRef: 'UBL-4' } })).toBe(1)
})

test('a key without orders:write is refused before the document is read', async () => {
  let isRead = false
  const body = new ReadableStream(
    {
      pull() {
        isRead = true
      },
    },
    { highWaterMark: 0 },
  )
  for (const [key, status] of [
    [keys.floor, 403],
    ['fw_wrong', 401],
  ] as const) {
    const headers = { 'content-type': 'application/xml', authorization: `Bearer ${key}` }
    const init: RequestInit & { duplex: 'half' } = { method: 'POST', headers, body, duplex: 'half' }
    expect((await app.fetch('http://test/import/ubl', init)).status).toBe(status)
  }
  expect(isRead).toBe(false)
})

const get = (path: string, headers: Record<string, string> = {}, method = 'GET') =>
  app.fetch(`http://test/export/despatch-advices${path}`, {
    method,
    headers: { authorization: `Bearer ${keys.integrator}`, ...headers },
  })
const listed = z.object({
  day: z.string(),
  despatchAdvices: z.array(
    z.object({
      name: z.string(),
      order: z.object({ externalRef: z.string().nullable(), number: z.int() }),
      account: z.object({ name: z.string() }),
      containers: z.int(),
    }),
  ),
})
const listOf = async (on: string) => listed.parse(await (await get(`.json?day=${on}`)).json()).despatchAdvices

const RECORD =
  'mutation ($input: RecordFactsInput!) { it: recordFacts(input: $input) { __typename ... on FactsPayload { facts { id } } } }'
const { baseline: plan } = scenario.problem
const delivery = plan?.deliveries.find(
  ({ dispatchOn, from }) => dispatchOn === today && from.every(({ stockLotId }) => stockLotId !== undefined),
)
if (!delivery) throw new Error('something leaves today from stock')
const orderLine = await client.orderLine.findFirstOrThrow({
  where: { id: delivery.orderLineId },
  include: { pack: true, order: { include: { account: true } } },
})
const quantity = delivery.from.reduce((sum, each) => sum + each.quantity, 0)

test('what left for an order on a day is a despatch advice as the standard has it, with lots and best before', async () => {
  expect(await listOf(today)).toEqual([])
  const named = { id: encodeGlobalId('OrderLine', orderLine.id) }
  await data(RECORD, { input: { facts: [{ dispatched: { orderLine: named } }] } })
  const { externalRef, number, account } = orderLine.order
  const [advice, ...others] = await listOf(today)
  expect([advice, others]).toMatchObject([
    {
      name: `${number}-${today}`,
      order: { externalRef, number },
      account: { name: account.name },
      containers: quantity,
    },
    [],
  ])
  const response = await get(`/${advice?.name}.xml`)
  expect([response.status, response.headers.get('content-type')]).toEqual([200, 'application/xml; charset=utf-8'])
  const xml = await response.text()
  expect(faultsOf(xml)).toEqual([])
  const root = parsed(xml)
  const lots = await client.stockLot.findMany({ where: { code: { in: textsOf(root, 'cbc:LotNumberID') } } })
  expect(textsOf(root, 'cbc:DeliveredQuantity').reduce((sum, each) => sum + Number(each), 0)).toBe(quantity)
  expect(textsOf(root, 'cbc:BestBeforeDate').sort()).toEqual(
    lots.map(({ bestBefore }) => bestBefore.toISOString().slice(0, 10)).sort(),
  )
  expect(lots.map(({ id }) => id).sort()).toEqual(delivery.from.map(({ stockLotId }) => stockLotId).sort())
  expect(textsOf(root, 'cbc:SalesOrderID')[0]).toBe(String(number))
  expect(textsOf(root, 'cbc:SupplierAssignedAccountID')).toEqual([account.externalRef])
  expect(textsOf(root, 'cbc:ActualDespatchDate')).toEqual([today])
})

test('who has it gets 304 for its tag, and HEAD the same without the document', async () => {
  const [advice] = await listOf(today)
  const first = await get(`/${advice?.name}.xml`)
  const again = await get(`/${advice?.name}.xml`, { 'if-none-match': first.headers.get('etag') ?? '' })
  expect([again.status, await again.text()]).toEqual([304, ''])
  const head = await get(`/${advice?.name}.xml`, {}, 'HEAD')
  expect([head.status, await head.text()]).toEqual([200, ''])
})

test('an order that came as UBL is advised with the numbers that its document gave', async () => {
  await client.orderLine.update({
    where: { distributorId_id: { distributorId: orderLine.distributorId, id: orderLine.id } },
    data: { externalRef: `PO-9/7`, order: { update: { externalRef: 'PO-9' } } },
  })
  const [advice] = await listOf(today)
  const root = parsed(await (await get(`/${advice?.name}.xml`)).text())
  expect(new Set(textsOf(root, 'cbc:LineID'))).toEqual(new Set(['7']))
  const references = [...root.getElementsByTagName('cac:OrderReference')].map((each) => textsOf(each, 'cbc:ID')[0])
  expect(new Set(references)).toEqual(new Set(['PO-9']))
})

test('a dispatch that did not happen has no despatch advice any more', async () => {
  const [advice] = await listOf(today)
  const fact = await client.fact.findFirstOrThrow({ where: { kind: 'DISPATCHED', replacedById: null } })
  const CORRECT = 'mutation ($input: CorrectFactInput!) { it: correctFact(input: $input) { __typename } }'
  const withdrawn = { fact: encodeGlobalId('Fact', fact.id), withdraw: true }
  expect((await data(CORRECT, { input: withdrawn })).it).toEqual({ __typename: 'FactsPayload' })
  expect(await listOf(today)).toEqual([])
  expect((await get(`/${advice?.name}.xml`)).status).toBe(404)
})

test('names of nothing are refused, and so is a day that is none', async () => {
  for (const name of [
    '1',
    '0-2027-03-01',
    `${orderLine.order.number}-2027-02-30`,
    '%00',
    '%zz',
    '..%2F1',
    '9999999999-2027-03-01',
  ])
    expect((await get(`/${name}.xml`)).status, name).toBe(404)
  for (const query of ['', '?day=', '?day=2027-02-30', '?day=2027-03-01&moon=1'])
    expect((await get(`.json${query}`)).status, query).toBe(400)
})

test("despatch advices need movements:read, and another distributor's key finds none of these", async () => {
  const { number } = orderLine.order
  for (const path of [`/${number}-${today}.xml`, `.json?day=${today}`]) {
    const response = await get(path, { authorization: `Bearer ${keys.sales}` })
    expect([response.status, response.headers.get('www-authenticate')]).toEqual([
      403,
      'Bearer error="insufficient_scope", scope="movements:read"',
    ])
  }
  const named = { id: encodeGlobalId('OrderLine', orderLine.id) }
  await data(RECORD, { input: { facts: [{ dispatched: { orderLine: named } }] } })
  expect(await listOf(today)).toHaveLength(1)
  await client.distributor.create({ data: { id: 'other', name: 'Other', timeZone: 'Europe/London' } })
  const scopes = ['movements:read', 'orders:write', 'orders:read']
  const hash = hashKey('fw_other')
  await client.apiKey.create({
    data: { distributorId: 'other', id: 'k', name: 'k', scopes, createdAt: clock.now(), hash },
  })
  const stranger = { authorization: 'Bearer fw_other' }
  expect(await (await get(`.json?day=${today}`, stranger)).json()).toEqual({ day: today, despatchAdvices: [] })
  expect((await get(`/${number}-${today}.xml`, stranger)).status).toBe(404)
  const { status, body } = await send(order('UBL-1'), stranger)
  expect(status).toBe(400)
  expect(JSON.stringify(body)).not.toContain(orderLine.order.account.name)
  expect(faults).toEqual([])
})
