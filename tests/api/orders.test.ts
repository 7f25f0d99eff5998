// What sales does, through the API: asks, orders, amends, cancels, and looks what is promised and at risk.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'

const { app, ask, client, data, revision, scenario, faults } = await openTestApi({ planned: true })
const { today, accounts } = scenario.problem
const account = { externalRef: scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? '' }
const serveOn = addDays(today, 10)
const IN_STOCK = { externalRef: 'MAR-KEG50' }
const TO_BREW = { externalRef: 'BLO-FIRKIN' }

const PROMISE = `query ($input: PromiseInput!) { promise(input: $input) {
  allOnTime earliestServeOn revision
  lines { pack { externalRef } quantity served wantedOn serveOn onTime
    deliveries { route { name } dispatchOn serveOn sources { kind quantity } }
    sources { kind quantity fillOn brewOn stockLot { code } batch { code } vessel { name site { name } } filler { name } }
    limits { rule resource { kind id } from to message relief { what amount unit by } } } } }`

const ERRORS = `__typename
  ... on InvalidInput { code action issues { path code message action } }
  ... on NotFound { code entityType reference }
  ... on Conflict { code message action }
  ... on Forbidden { code scope }`

const ORDER = `order { id externalRef number status note account { externalRef }
  lines { id lineNumber quantity pack { externalRef } serveOn latestServeOn promisedOn expectedOn status priority splittable atRisk { containers reasons { rule message } } } }`

const PLACE = `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { ${ERRORS}
  ... on NotPossible { code message action reasons { rule message } }
  ... on OrderPayload { revision ${ORDER} } } }`
const AMEND = PLACE.replaceAll('PlaceOrder', 'AmendOrder').replaceAll('placeOrder', 'amendOrder')
const CANCEL = `mutation ($input: CancelOrderInput!) { cancelOrder(input: $input) { ${ERRORS} ... on OrderPayload { revision ${ORDER} } } }`

test('a question is answered with sources, and ordering keeps the answer', async () => {
  const input = { account, serveOn, lines: [{ pack: IN_STOCK, quantity: 1 }] }
  const { promise } = await data(PROMISE, { input }, 'sales')
  expect(promise).toMatchObject({
    allOnTime: true,
    earliestServeOn: serveOn,
    revision: await revision(),
    lines: [
      { pack: IN_STOCK, serveOn, sources: [{ kind: 'STOCK', quantity: 1, stockLot: { code: expect.anything() } }] },
    ],
  })
  const { placeOrder } = await data(PLACE, { input: { ...input, externalRef: 'A-1', accept: 'ON_TIME_ONLY' } }, 'sales')
  expect(placeOrder).toMatchObject({
    __typename: 'OrderPayload',
    revision: await revision(),
    order: {
      externalRef: 'A-1',
      account,
      status: 'OPEN',
      lines: [{ lineNumber: 1, promisedOn: serveOn, expectedOn: serveOn, atRisk: null, status: 'OPEN' }],
    },
  })
})

test('a later day is answered with what binds, and what would be brewed for it', async () => {
  const early = addDays(today, 3)
  const input = { account, serveOn: early, lines: [{ pack: TO_BREW, quantity: 3 }] }
  const { promise } = await data(PROMISE, { input }, 'sales')
  expect(promise).toMatchObject({ allOnTime: false, lines: [{ wantedOn: early, onTime: false, served: 3 }] })
  expect(promise).toHaveProperty('lines.0.limits.0.rule')
  expect(promise).toHaveProperty('lines.0.sources.0.vessel.name')
  const { placeOrder } = await data(PLACE, { input: { ...input, accept: 'ON_TIME_ONLY' } }, 'sales')
  expect(placeOrder).toMatchObject({ __typename: 'NotPossible', code: 'NO_PLAN_FITS' })
  expect(placeOrder).toHaveProperty('reasons.0.message')
})

test('as early as can be: without a serve day the first possible one is answered', async () => {
  const { promise } = await data(PROMISE, { input: { account, lines: [{ pack: TO_BREW, quantity: 1 }] } }, 'sales')
  expect(promise).toMatchObject({ allOnTime: false, lines: [{ wantedOn: today, served: 1 }] })
})

test('a wish that cannot be served is at risk, and can be found as such', async () => {
  const input = {
    account,
    externalRef: 'WISH',
    serveOn,
    accept: 'AS_DEMAND',
    lines: [{ pack: TO_BREW, quantity: 900 }],
  }
  const { placeOrder } = await data(PLACE, { input }, 'sales')
  expect(placeOrder).toMatchObject({
    order: { lines: [{ promisedOn: null, expectedOn: null, atRisk: { containers: 900 } }] },
  })
  const list = `query ($filter: OrderFilter) { orders(filter: $filter, first: 200) { totalCount edges { node { externalRef } } } }`
  const refs = (filter: object) => data(list, { filter }, 'sales')
  expect(await refs({ externalRefs: ['WISH'], atRisk: true })).toMatchObject({ orders: { totalCount: 1 } })
  expect(await refs({ externalRefs: ['WISH'], atRisk: false })).toMatchObject({ orders: { totalCount: 0 } })
  expect(await refs({ account, externalRefs: ['WISH', 'A-1'] })).toMatchObject({ orders: { totalCount: 2 } })
  expect(await refs({ externalRefs: ['WISH', 'A-1'], pack: TO_BREW })).toMatchObject({ orders: { totalCount: 1 } })
  expect(await refs({ externalRefs: ['WISH', 'A-1'], serveFrom: addDays(serveOn, 1) })).toMatchObject({
    orders: { totalCount: 0 },
  })
  const { order } = await data(
    `{ order(by: { externalRef: "WISH" }) { lines { atRisk { containers } } } }`,
    {},
    'sales',
  )
  expect(order).toMatchObject({ lines: [{ atRisk: { containers: 900 } }] })
})

test('an order is amended and cancelled', async () => {
  const lines = [{ pack: IN_STOCK, quantity: 1, externalRef: 'B-1/1' }]
  await data(PLACE, { input: { account, externalRef: 'B-1', serveOn, accept: 'LATER', lines } }, 'sales')
  const order = { externalRef: 'B-1' }
  const changeLines = [{ line: { externalRef: 'B-1/1' }, quantity: 2, latestServeOn: null }]
  const { amendOrder } = await data(
    AMEND,
    { input: { order, accept: 'LATER', note: 'two, please', changeLines } },
    'sales',
  )
  expect(amendOrder).toMatchObject({ order: { note: 'two, please', lines: [{ quantity: 2 }] } })
  const { cancelOrder } = await data(CANCEL, { input: { order } }, 'sales')
  expect(cancelOrder).toMatchObject({
    order: { status: 'CANCELLED', lines: [{ status: 'CANCELLED', promisedOn: null }] },
  })
  const { cancelOrder: again } = await data(CANCEL, { input: { order } }, 'sales')
  expect(again).toMatchObject({ __typename: 'Conflict', code: 'STATUS_FORBIDS' })
})

test('wrong input comes back as typed errors with path and action, and nothing is written', async () => {
  const before = await revision()
  const lines = [
    { pack: { externalRef: 'NONE' }, quantity: 1 },
    { pack: IN_STOCK, quantity: 0 },
    { pack: IN_STOCK, quantity: 1_000_000_000 },
  ]
  const wrong = await data(PLACE, { input: { account, serveOn: '2027-02-31', accept: 'LATER', lines } }, 'sales')
  expect(wrong.placeOrder).toMatchObject({
    __typename: 'InvalidInput',
    issues: [
      { path: 'serveOn', code: 'NO_SUCH_DATE' },
      { path: 'lines[1].quantity', code: 'OUT_OF_RANGE' },
      { path: 'lines[2].quantity', code: 'OUT_OF_RANGE' },
      { path: 'lines[0].pack', code: 'UNKNOWN_REFERENCE' },
    ],
  })
  const taken = await data(PLACE, {
    input: { account, externalRef: 'A-1', serveOn, accept: 'LATER', lines: [{ pack: IN_STOCK, quantity: 1 }] },
  })
  expect(taken.placeOrder).toMatchObject({ __typename: 'Conflict', code: 'EXTERNAL_REF_TAKEN' })
  expect(await revision()).toBe(before)
  const { errors } = await ask(PROMISE, { input: { account, serveOn: addDays(today, -1), lines: lines.slice(1, 2) } })
  expect(errors?.[0]?.extensions).toMatchObject({
    code: 'OUT_OF_RANGE',
    issues: [{ path: 'lines[0].quantity' }, { path: 'serveOn', code: 'SERVE_DAY_PAST' }],
  })
})

test('a key without the scope neither asks nor orders', async () => {
  const input = { account, serveOn, accept: 'LATER', lines: [{ pack: IN_STOCK, quantity: 1 }] }
  const { placeOrder } = await data(PLACE, { input }, 'planner')
  expect(placeOrder).toMatchObject({ __typename: 'Forbidden', scope: 'orders:write' })
  const { errors } = await ask(PROMISE, { input: { account, serveOn, lines: input.lines } }, null)
  expect(errors?.[0]?.extensions?.code).toBe('KEY_MISSING')
  expect(faults).toEqual([])
})

test('a reference that is taken says by which order, to a key that may read orders', async () => {
  const input = {
    account,
    serveOn,
    accept: 'AS_DEMAND',
    lines: [{ pack: IN_STOCK, quantity: 1 }],
    externalRef: 'TAKEN-1',
  }
  const query = PLACE.replace('... on Conflict { code', '... on Conflict { takenBy code')
  const first = await data(query, { input }, 'sales')
  const again = await data(query, { input }, 'sales')
  const { order } = z.object({ order: z.object({ id: z.string() }) }).parse(first.placeOrder)
  expect(again.placeOrder).toMatchObject({ code: 'EXTERNAL_REF_TAKEN', takenBy: order.id })

  const made = await data(
    'mutation { createApiKey(input: { name: "till", scopes: ["orders:write"] }) { ... on CreateApiKeyPayload { key } } }',
  )
  const { key } = z.object({ key: z.string() }).parse(made.createApiKey)
  const response = await app.fetch('http://test/graphql', {
    method: 'POST',
    headers: { 'content-type': 'application/json', authorization: `Bearer ${key}` },
    body: JSON.stringify({
      query: 'mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { ... on Conflict { code takenBy } } }',
      variables: { input },
    }),
  })
  expect(await response.json()).toMatchObject({ data: { placeOrder: { code: 'EXTERNAL_REF_TAKEN', takenBy: null } } })
})

test('an order that is sent again is refused with whether it is just so, or what differs, lines by their places', async () => {
  const query = PLACE.replace('... on Conflict { code', '... on Conflict { takenBy equal differs code')
  const line = (quantity: number, line: string) => ({ pack: IN_STOCK, quantity, externalRef: line })
  const input = {
    account,
    serveOn,
    accept: 'AS_DEMAND',
    externalRef: 'SAME-1',
    note: 'gate',
    lines: [line(1, 'S-1'), line(2, 'S-2')],
  }
  const send = async (more: object = {}) => (await data(query, { input: { ...input, ...more } }, 'sales')).placeOrder
  const { order } = z.object({ order: z.object({ id: z.string() }) }).parse(await send())
  const taken = { code: 'EXTERNAL_REF_TAKEN', takenBy: order.id }
  expect(await send()).toMatchObject({ ...taken, equal: true, differs: [] })
  expect(await send({ lines: [line(2, 'S-2'), { ...line(1, 'S-1'), priority: 3, serveOn }] })).toMatchObject({
    ...taken,
    equal: true,
  })
  expect(await send({ note: 'door', lines: [line(1, 'S-1'), line(3, 'S-2')] })).toMatchObject({
    ...{ ...taken, equal: false, differs: ['note', 'lines[1]', 'lines'] },
  })
})

test('an amendment that is sent again adds its lines once, by their references', async () => {
  const made = await data(PLACE, {
    input: {
      account,
      serveOn,
      accept: 'AS_DEMAND',
      externalRef: 'AMENDED-1',
      lines: [{ pack: IN_STOCK, quantity: 1 }],
    },
  })
  const { order } = z.object({ order: z.object({ id: z.string() }) }).parse(made.placeOrder)
  const amend = `mutation ($input: AmendOrderInput!) { amendOrder(input: $input) { __typename
    ... on OrderPayload { order { lines { externalRef quantity } } } ... on Conflict { code equal differs } } }`
  const send = async (quantity: number) => {
    const addLines = [{ pack: IN_STOCK, quantity, serveOn, externalRef: 'ADDED-1' }]
    return (await data(amend, { input: { order: { id: order.id }, accept: 'AS_DEMAND', addLines } }, 'sales'))
      .amendOrder
  }
  expect(await send(2)).toMatchObject({ order: { lines: [{ quantity: 1 }, { externalRef: 'ADDED-1', quantity: 2 }] } })
  expect(await send(2)).toMatchObject({ code: 'EXTERNAL_REF_TAKEN', equal: true, differs: [] })
  expect(await send(3)).toMatchObject({ code: 'EXTERNAL_REF_TAKEN', equal: false, differs: ['addLines[0].quantity'] })
  expect(await client.orderLine.count({ where: { externalRef: 'ADDED-1' } })).toBe(1)
})
