// Movements as accounting reads them: what a dispatch, a delivery, a return and a correction book, in pages that only grow.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { todayIn } from '../../src/clock.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { openTestApi } from '../support/api.ts'

const { ask, data, client, clock, scenario } = await openTestApi({ planned: true })
const today = todayIn(clock, 'Europe/London')

const MOVEMENTS = `query ($first: Int, $last: Int, $after: String, $before: String, $filter: MovementFilter) {
  movements(first: $first, last: $last, after: $after, before: $before, filter: $filter) {
    totalCount pageInfo { hasNextPage hasPreviousPage startCursor endCursor }
    edges { cursor node { kind day revision n isReversal isAssumed containers litres abv depositContainers orderNumber
      account { name } lot { code } beer { name } containerType { name } } } } }`
const node = z.object({
  ...{ kind: z.string(), day: z.string(), revision: z.int(), n: z.int(), isReversal: z.boolean() },
  ...{ containers: z.int(), litres: z.number(), depositContainers: z.int(), orderNumber: z.int().nullable() },
  account: z.object({ name: z.string() }).nullable(),
  lot: z.object({ code: z.string() }).nullable(),
})
const page = z.object({
  totalCount: z.int(),
  pageInfo: z.object({
    ...{ hasNextPage: z.boolean(), hasPreviousPage: z.boolean() },
    ...{ startCursor: z.string().nullable(), endCursor: z.string().nullable() },
  }),
  edges: z.array(z.object({ cursor: z.string(), node })),
})
const read = async (variables: Record<string, unknown> = {}) =>
  page.parse((await data(MOVEMENTS, { first: 500, ...variables }, 'integrator')).movements)

const RECORD = `mutation ($input: RecordFactsInput!) { it: recordFacts(input: $input) { __typename ... on FactsPayload { facts { id } } } }`
const record = async (facts: object[]): Promise<string[]> => {
  const { it } = Object(await data(RECORD, { input: { facts } }))
  expect(it.__typename).toBe('FactsPayload')
  return it.facts.map(({ id }: { id: string }) => id)
}

const { baseline: plan, orderLines } = scenario.problem
const delivery = plan?.deliveries.find(
  ({ dispatchOn, from }) => dispatchOn === today && from.every(({ stockLotId }) => stockLotId !== undefined),
)
if (!delivery) throw new Error('something leaves today from stock')
const line = orderLines.find(({ id }) => id === delivery.orderLineId)
const pack = await client.pack.findFirst({ where: { id: line?.packId ?? '' } })
const quantity = delivery.from.reduce((sum, each) => sum + each.quantity, 0)
const orderLine = { id: encodeGlobalId('OrderLine', delivery.orderLineId) }

test('a dispatch, a delivery and a return are booked with account, order, lot, litres and deposits', async () => {
  const { pageInfo, totalCount } = await read()
  const facts = await record([{ dispatched: { orderLine } }, { delivered: { orderLine } }])
  expect(facts).toHaveLength(2)
  const fleet = await client.fleet.findFirstOrThrow({ where: { containerTypeId: pack?.containerTypeId ?? '' } })
  const returned = {
    site: { id: encodeGlobalId('Site', fleet.siteId) },
    account: { id: encodeGlobalId('Account', line?.accountId ?? '') },
  }
  await record([
    {
      returned: {
        ...returned,
        containerType: { id: encodeGlobalId('ContainerType', fleet.containerTypeId) },
        quantity: 1,
      },
    },
  ])
  const { edges, ...after } = await read({ after: pageInfo.endCursor })
  const sum = (kind: string) =>
    edges.filter((each) => each.node.kind === kind).reduce((n, each) => n + each.node.containers, 0)
  expect([sum('DISPATCHED'), sum('DELIVERED'), sum('RETURNED')]).toEqual([quantity, quantity, 1])
  const { nominalLitres = 0 } = scenario.problem.containerTypes.find(({ id }) => id === pack?.containerTypeId) ?? {}
  const account = await client.account.findFirstOrThrow({ where: { id: line?.accountId ?? '' } })
  for (const { node: each } of edges) {
    expect(each.account?.name).toBe(account.name)
    if (each.kind === 'RETURNED') expect([each.litres, each.depositContainers, each.lot]).toEqual([0, -1, null])
    else {
      expect(each.litres).toBeCloseTo(each.containers * nominalLitres, 2)
      expect(each.orderNumber).toBeGreaterThan(0)
      expect(each.lot?.code).toBeTruthy()
      expect(each.depositContainers).toBe(each.kind === 'DELIVERED' ? each.containers : 0)
    }
  }
  expect(after.totalCount).toBe(totalCount + edges.length)
})

test('a correction is a movement of its own that takes back the first: what was read stays as it was', async () => {
  const before = await read()
  const dispatch = await client.fact.findFirstOrThrow({ where: { kind: 'DELIVERED' } })
  const CORRECT = `mutation ($input: CorrectFactInput!) { it: correctFact(input: $input) { __typename } }`
  await data(CORRECT, { input: { fact: encodeGlobalId('Fact', dispatch.id), withdraw: true } })
  const after = await read()
  expect(after.edges.slice(0, before.edges.length)).toEqual(before.edges)
  const sum = after.edges
    .filter((each) => each.node.kind === 'DELIVERED')
    .reduce((n, each) => n + each.node.containers, 0)
  expect(sum).toBe(0)
  expect(after.edges.some(({ node: each }) => each.isReversal && each.containers < 0)).toBe(true)
})

test('pages of any size, forwards and backwards, give the same movements in order, each once', async () => {
  const all = (await read()).edges.map(({ cursor }) => cursor)
  expect(all.length).toBeGreaterThan(3)
  for (const first of [1, 2, 3]) {
    const found: string[] = []
    for (let after: string | null = null; ; ) {
      const { edges, pageInfo } = await read({ first, after })
      found.push(...edges.map(({ cursor }) => cursor))
      if (!pageInfo.hasNextPage) break
      after = pageInfo.endCursor
    }
    expect(found).toEqual(all)
  }
  const last = await read({ first: null, last: 2 })
  expect(last.edges.map(({ cursor }) => cursor)).toEqual(all.slice(-2))
  const earlier = await read({ first: null, last: 2, before: last.pageInfo.startCursor })
  expect(earlier.edges.map(({ cursor }) => cursor)).toEqual(all.slice(-4, -2))
})

test('a filter names kinds, days, a site and when facts were changed; what is wrong with it is said by field', async () => {
  const { edges } = await read({ filter: { kinds: ['RETURNED'], from: today, to: today } })
  expect(edges.map(({ node: each }) => each.kind)).toEqual(['RETURNED'])
  const later = new Date(clock.now().getTime() + 86_400_000).toISOString()
  expect((await read({ filter: { changedSince: later } })).edges).toEqual([])
  const { errors } = await ask(MOVEMENTS, { filter: { from: '2027-03-02', to: '2027-03-01' } }, 'integrator')
  expect(errors?.[0]?.extensions).toMatchObject({ issues: [{ path: 'filter.to', code: 'SPAN_REVERSED' }] })
})

test('a place that is none of the ledger is refused, and so is a key without movements:read', async () => {
  const [{ cursor = '' } = {}] = (await read({ first: 1 })).edges
  await client.changeLogEntry.updateMany({ data: { epoch: '00000000-0000-4000-8000-000000000000' } })
  expect((await ask(MOVEMENTS, { first: 1, after: cursor }, 'integrator')).errors?.[0]?.extensions).toMatchObject({
    code: 'CURSOR_LOST',
  })
  expect((await ask(MOVEMENTS, {}, 'sales')).errors?.[0]?.extensions).toMatchObject({ code: 'SCOPE_MISSING' })
})
