// Traces and recall lists through the API: from a lot, its code, its batch, its delivery and its account to all the others.
import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { ask, data, client, clock, jobs, revision, faults } = await openTestApi({ planned: true })
const distributorId = DEMO_ID

const TRACE = `query ($by: TraceByInput!, $since: LocalDate) { trace(by: $by, since: $since) {
  revision isComplete
  batches { relation batch { id } } lots { relation lot { id } } accounts { relation account { id } }
  deliveries { relation dispatched delivered orderLine { id } lot { id } }
  steps { relation kind on litres quantity fact { kind } fromBatch { id } toBatch { id } lot { id } orderLine { id } account { id } } } }`
const RECALL = `query ($of: TraceByInput!) { recall(of: $of) { revision isComplete
  lots { lot { id } filled here onRoad atAccounts gone destroyed issued lost }
  accounts { onRoad atAccount gone account { id } deliveries { onRoad atAccount gone dispatchedOn deliveredOn orderLine { id } lot { id } } } } }`
const RECORD =
  'mutation ($facts: [FactInput!]!) { recordFacts(input: { facts: $facts }) { __typename ... on InvalidInput { issues { path code message } } } }'

const idOf = (kind: string, id: string) => encodeGlobalId(kind, id)
const ref = (kind: string, id: string) => ({ id: idOf(kind, id) })
const record = async (...facts: object[]) =>
  expect(await data(RECORD, { facts }, 'floor')).toEqual({ recordFacts: { __typename: 'FactsPayload' } })

/** A lot of the store with two lines that it serves, by the plan in force. */
async function servedLot() {
  const sources = await client.deliverySource.findMany({
    where: { distributorId, stockLotId: { not: null }, delivery: { plan: { status: 'IN_FORCE' } } },
    include: { delivery: { include: { orderLine: { include: { order: true } } } }, stockLot: true },
    orderBy: [{ stockLotId: 'asc' }, { deliveryN: 'asc' }],
  })
  for (const { stockLotId } of sources) {
    const own = sources.filter((each) => each.stockLotId === stockLotId && each.quantity > 1)
    const [first, second] = own
    if (first && second && first.delivery.orderLine.order.accountId !== second.delivery.orderLine.order.accountId)
      return { first, second }
  }
  throw new Error('some lot serves two lines of two accounts')
}

const { first, second } = await servedLot()
const lotId = first.stockLotId ?? ''
const [line, other] = [first.delivery.orderLine, second.delivery.orderLine]
const { accountId } = line.order
const batch = await client.batch.findFirstOrThrow({
  where: { distributorId, beer: { packs: { some: { id: line.packId } } } },
})
const before = first.stockLot?.quantity ?? 0

beforeAll(async () => {
  // What the lot was filled from is known to set-up; it is entered before the first fact.
  const change = 'mutation ($input: ChangeStockLotInput!) { changeStockLot(input: $input) { __typename } }'
  const input = { stockLot: ref('StockLot', lotId), batch: ref('Batch', batch.id) }
  expect(await data(change, { input }, 'integrator')).toEqual({ changeStockLot: { __typename: 'StockLotPayload' } })
  const lots = (quantity: number) => [{ lot: ref('StockLot', lotId), quantity }]
  await record(
    { dispatched: { orderLine: ref('OrderLine', line.id), lots: lots(first.quantity) } },
    { dispatched: { orderLine: ref('OrderLine', other.id), lots: lots(second.quantity) } },
    { delivered: { orderLine: ref('OrderLine', line.id) } },
    { refused: { orderLine: ref('OrderLine', other.id), quantity: 1, fit: true, again: true } },
    { issued: { lot: ref('StockLot', lotId), quantity: 1, to: 'SAMPLE' } },
  )
})

const things = z.array(z.record(z.string(), z.unknown()))
const traceShape = z.object({
  trace: z.object({
    ...{ revision: z.int(), isComplete: z.literal(true), batches: things, lots: things, accounts: things },
    ...{ deliveries: things, steps: things },
  }),
})

describe('a trace', () => {
  const starts = {
    lot: { lot: ref('StockLot', lotId) },
    batch: { batch: ref('Batch', batch.id) },
    line: { orderLine: ref('OrderLine', line.id) },
    order: { order: { id: idOf('Order', line.orderId) } },
    account: { account: ref('Account', accountId) },
  }

  test.each(Object.entries(starts))(
    'from the %s reaches the batch, the lot, the delivery and the account',
    async (name, by) => {
      const answer = traceShape.parse(await data(TRACE, { by }, 'floor')).trace
      expect(answer.revision).toBe(await revision())
      const asked = (what: string, otherwise: string) => (what === name ? 'ASKED' : otherwise)
      const isLater = ['batch', 'lot'].includes(name)
      const delivery = name === 'line' || name === 'order' ? 'ASKED' : isLater ? 'AFTER' : 'BEFORE'
      expect(answer).toMatchObject({
        batches: expect.arrayContaining([{ relation: asked('batch', 'BEFORE'), batch: ref('Batch', batch.id) }]),
        lots: expect.arrayContaining([
          { relation: asked('lot', name === 'batch' ? 'AFTER' : 'BEFORE'), lot: ref('StockLot', lotId) },
        ]),
        accounts: expect.arrayContaining([{ relation: asked('account', 'AFTER'), account: ref('Account', accountId) }]),
        deliveries: expect.arrayContaining([
          {
            ...{ relation: delivery, dispatched: first.quantity, delivered: first.quantity },
            ...{ orderLine: ref('OrderLine', line.id), lot: ref('StockLot', lotId) },
          },
        ]),
        steps: expect.arrayContaining([
          expect.objectContaining({
            kind: 'LOT_OPENING',
            fromBatch: ref('Batch', batch.id),
            lot: ref('StockLot', lotId),
          }),
          expect.objectContaining({
            kind: 'DISPATCHED',
            quantity: first.quantity,
            orderLine: ref('OrderLine', line.id),
            account: null,
          }),
          expect.objectContaining({
            kind: 'DELIVERED',
            quantity: first.quantity,
            account: ref('Account', accountId),
            fact: { kind: 'DELIVERED' },
          }),
        ]),
      })
      // What was refused at the door was on the road, and at no account.
      const reachesOther = JSON.stringify(answer).includes(idOf('OrderLine', other.id))
      expect(reachesOther).toBe(isLater)
      expect(JSON.stringify(answer.accounts)).not.toContain(idOf('Account', other.order.accountId))
    },
  )

  test('from a later day on leaves out what moved before', async () => {
    const by = starts.account
    const since = new Date(clock.now().getTime() + 86_400_000).toISOString().slice(0, 10)
    expect(traceShape.parse(await data(TRACE, { by, since }, 'floor')).trace.steps).toEqual([])
  })

  test('asks for a scope, and says what it does not find', async () => {
    const { errors } = await ask(TRACE, { by: { batch: { externalRef: 'NONE' } } }, 'floor')
    expect(errors?.[0]?.extensions).toMatchObject({ code: 'NO_SUCH_THING' })
    const create =
      'mutation { createApiKey(input: { name: "till", scopes: ["orders:read"] }) { ... on CreateApiKeyPayload { key } } }'
    const { createApiKey } = await data(create)
    const { key } = z.object({ key: z.string() }).parse(createApiKey)
    for (const [query, variables] of [
      [TRACE, { by: starts.lot }],
      [RECALL, { of: starts.lot }],
    ] as const)
      expect((await ask(query, variables, { key })).errors?.[0]?.extensions).toMatchObject({ code: 'SCOPE_MISSING' })
  })
})

describe('a lot code', () => {
  const RUNS = `{ edges { node { lotCode on quantity pack { id } batch { id } brew { name } } } }`
  const runsShape = z.object({
    edges: z.array(z.object({ node: z.looseObject({ lotCode: z.string(), on: z.string() }) })),
  })

  /** A fill of today as the plan in force shows it, said as it was planned. */
  async function filledAsPlanned() {
    const { id, planId, quantity } = await client.fillRun.findFirstOrThrow({
      where: { distributorId, on: new Date(clock.now().toISOString().slice(0, 10)), plan: { status: 'IN_FORCE' } },
      orderBy: { id: 'asc' },
    })
    const fillRun = idOf('FillRun', `${planId}/${id}`)
    const { node } = await data('query ($id: ID!) { node(id: $id) { ... on FillRun { lotCode } } }', { id: fillRun })
    const { lotCode } = z.object({ lotCode: z.string() }).parse(node)
    await record({ filled: { fillRun, quantity } })
    const lot = await client.stockLot.findFirstOrThrow({ where: { distributorId, code: lotCode } })
    expect(lot.quantity).toBe(quantity)
    return lot
  }

  test('is known from the plan on, and the plan in force and a draft agree on it', async () => {
    const draft = 'mutation { draftPlan(input: { effort: { steps: 10 } }) { ... on PlanPayload { plan { id } } } }'
    const { draftPlan } = await data(draft, {}, 'planner')
    await jobs.settled()
    const { id } = z.object({ plan: z.object({ id: z.string() }) }).parse(draftPlan).plan
    const both = `query ($id: ID!) { planInForce { fillRuns(first: 200) ${RUNS} } plan(id: $id) { fillRuns(first: 200) ${RUNS} } }`
    const { planInForce, plan } = await data(both, { id }, 'planner')
    const codes = [planInForce, plan].map((shown) => {
      const { edges } = z.object({ fillRuns: runsShape }).parse(shown).fillRuns
      return new Map(
        edges.map(({ node: { lotCode, on, pack, batch, brew } }) => [JSON.stringify([on, pack, batch, brew]), lotCode]),
      )
    })
    const [inForce, drafted] = codes
    const same = [...(inForce ?? [])].filter(([run]) => drafted?.has(run))
    expect(same.length).toBeGreaterThan(10)
    for (const [run, code] of same) expect(drafted?.get(run)).toBe(code)
  })

  test('is found as a person types it; with a wrong check character it is refused by name', async () => {
    const { id, code } = await filledAsPlanned()
    const find = 'query ($code: String!) { lotByCode(code: $code) { id } }'
    for (const typed of [code, code.toLowerCase(), code.replaceAll('-', ''), ` ${code.replaceAll('-', ' ')}`])
      expect(await data(find, { code: typed }, 'sales')).toEqual({ lotByCode: ref('StockLot', id) })
    expect(await data(TRACE, { by: { lotCode: code } }, 'floor')).toMatchObject({
      trace: { lots: [{ relation: 'ASKED', lot: ref('StockLot', id) }] },
    })
    const wrong = `${code.slice(0, -1)}${code.endsWith('0') ? '1' : '0'}`
    for (const [query, variables, path] of [
      [find, { code: wrong }, 'code'],
      [TRACE, { by: { lotCode: wrong } }, 'by.lotCode'],
      [RECALL, { of: { lotCode: wrong } }, 'of.lotCode'],
    ] as const) {
      const { errors } = await ask(query, variables, 'floor')
      const message = `the check character of ${wrong} is wrong (ISO/IEC 7064 MOD 37,36)`
      expect(errors?.[0]?.extensions?.issues).toMatchObject([{ path, code: 'WRONG_CHECK_CHARACTER', message }])
    }
  })

  test('of the set-up is found as it was given, and one that is no code is not found', async () => {
    const lot = await client.stockLot.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id: lotId } } })
    const find = 'query ($code: String!) { lotByCode(code: $code) { id } }'
    expect(await data(find, { code: lot.code })).toEqual({ lotByCode: ref('StockLot', lotId) })
    expect((await ask(find, { code: 'no such lot' })).errors?.[0]?.extensions).toMatchObject({ code: 'NO_SUCH_THING' })
    expect((await ask(find, { code: '' })).errors?.[0]?.extensions?.issues).toMatchObject([{ path: 'code' }])
  })
})

test('a recall list says for each lot and account how many are here, on the road, there, and gone', async () => {
  const returned = { account: ref('Account', accountId), site: ref('Site', first.siteId), quantity: 1 }
  const { containerTypeId } = await client.pack.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id: line.packId } },
  })
  await record({ returned: { ...returned, containerType: ref('ContainerType', containerTypeId) } })
  const { recall } = await data(RECALL, { of: { lot: ref('StockLot', lotId) } }, 'floor')
  const onRoad = second.quantity - 1
  const here = before - first.quantity - second.quantity + 1 - 1
  expect(recall).toMatchObject({
    ...{ revision: await revision(), isComplete: true },
    lots: [
      {
        ...{ lot: ref('StockLot', lotId), filled: before, here, onRoad, atAccounts: first.quantity - 1, gone: 1 },
        ...{ destroyed: 0, issued: 1, lost: 0 },
      },
    ],
    accounts: expect.arrayContaining([
      {
        ...{ account: ref('Account', accountId), onRoad: 0, atAccount: first.quantity - 1, gone: 1 },
        deliveries: [
          {
            ...{
              onRoad: 0,
              atAccount: first.quantity - 1,
              gone: 1,
              dispatchedOn: '2027-03-01',
              deliveredOn: '2027-03-01',
            },
            ...{ orderLine: ref('OrderLine', line.id), lot: ref('StockLot', lotId) },
          },
        ],
      },
      expect.objectContaining({ account: ref('Account', other.order.accountId), onRoad, atAccount: 0, gone: 0 }),
    ]),
  })
  expect(faults).toEqual([])
})
