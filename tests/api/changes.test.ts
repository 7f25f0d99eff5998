// The change feed as integrators use it: a follower starts from a snapshot, goes on from its cursor, and ends with what the API shows.
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { randomFrom } from '../../seeds/random.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { encodeCursor } from '../../src/schema/cursors.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const api = await openTestApi({ planned: true })
const { ask, data, client, clock, scenario, faults } = api
const serveOn = addDays(scenario.problem.today, 12)
const [pack] = Object.values(scenario.names.packs ?? {})
const [account] = Object.values(scenario.names.accounts ?? {})

afterAll(() => expect(faults).toEqual([]))

/** What a follower keeps of each thing: fields of its own choice. */
const KEPT = `entityId entity { __typename id
  ... on Account { name externalRef retiredAt }
  ... on Vessel { name capacityLitres }
  ... on Order { status note externalRef lines { quantity status promisedOn serveOn } }
  ... on Fact { factKind: kind counts batches { __typename id litres } }
  ... on Batch { litres }
  ... on Plan { planStatus: status } }`
const CHANGES = `query ($after: String, $first: Int, $kinds: [ChangeKind!]) { changes(after: $after, first: $first, kinds: $kinds) {
  position totalCount pageInfo { hasNextPage endCursor } edges { cursor node { revision n kind at by isNew entityType externalRef ${KEPT} } } } }`
const SNAPSHOT = `query ($after: String, $first: Int, $kinds: [SnapshotKind!]) { snapshot(after: $after, first: $first, kinds: $kinds) {
  changesAfter totalCount pageInfo { hasNextPage endCursor } edges { node { kind ${KEPT} } } } }`

const thing = z.looseObject({ id: z.string() }).nullable()
const change = z.looseObject({
  ...{ revision: z.int(), n: z.int(), kind: z.string(), by: z.string().nullable(), externalRef: z.string().nullable() },
  ...{ isNew: z.boolean(), entityType: z.string(), entityId: z.string(), entity: thing },
})
const touchedBy = z.object({ batches: z.array(z.looseObject({ id: z.string() })).optional() })
const pageInfo = z.object({ hasNextPage: z.boolean(), endCursor: z.string().nullable() })
const feed = z.object({
  ...{ position: z.string(), totalCount: z.int(), pageInfo },
  edges: z.array(z.object({ cursor: z.string(), node: change })),
})
const start = z.object({
  ...{ changesAfter: z.string(), totalCount: z.int(), pageInfo },
  edges: z.array(z.object({ node: z.looseObject({ kind: z.string(), entityId: z.string(), entity: thing }) })),
})

async function changes(variables: Record<string, unknown> = {}, as?: 'sales' | 'floor' | { key: string }) {
  return feed.parse((await data(CHANGES, variables, as)).changes)
}

/** All changes after a cursor, in pages. */
async function follow(after: string | undefined, first = 7) {
  const all: z.output<typeof change>[] = []
  for (let from = after; ; ) {
    const page = await changes({ after: from, first })
    all.push(...page.edges.map(({ node }) => node))
    from = page.position
    if (!page.pageInfo.hasNextPage) return { all, position: from }
  }
}

/** Keeps a thing by itself: what it touched is a thing of its own. */
function keep(kept: Map<string, unknown>, id: string, entity: z.output<typeof thing>) {
  kept.set(id, entity && { ...entity, batches: undefined })
}

/** All pages of a snapshot; something happens after each. */
async function takeSnapshot(first: number, between: () => Promise<unknown> = async () => undefined) {
  const kept = new Map<string, unknown>()
  let after: string | undefined
  for (;;) {
    const page = start.parse((await data(SNAPSHOT, { after, first })).snapshot)
    for (const { node } of page.edges) keep(kept, node.entityId, node.entity)
    if (!page.pageInfo.hasNextPage) return { kept, changesAfter: page.changesAfter, totalCount: page.totalCount }
    after = page.pageInfo.endCursor ?? undefined
    await between()
  }
}

const place = (externalRef: string, as?: 'sales') =>
  data(
    `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { __typename } }`,
    {
      input: {
        ...{ account: { externalRef: account?.externalRef }, serveOn, externalRef, accept: 'AS_DEMAND' },
        lines: [{ pack: { externalRef: pack?.externalRef }, quantity: 2 }],
      },
    },
    as,
  )
const createAccount = (name: string) =>
  data('mutation ($input: CreateAccountInput!) { createAccount(input: $input) { __typename } }', {
    input: { name, externalRef: name, routes: [] },
  })
const cancel = (externalRef: string) =>
  data('mutation ($input: CancelOrderInput!) { cancelOrder(input: $input) { __typename } }', {
    input: { order: { externalRef } },
  })

test('a change says what happened to what, with whose key, and how the thing is now', async () => {
  const { position } = await changes({ first: 0 })
  await place('feed-1', 'sales')
  const { edges, pageInfo } = await changes({ after: position })
  expect(edges[0]?.node).toMatchObject({
    ...{ kind: 'ORDER_PLACED', by: 'Demo: sales', isNew: true, entityType: 'Order', externalRef: 'feed-1', n: 1 },
    ...{ at: clock.now().toISOString(), revision: await api.revision() },
    entity: { __typename: 'Order', externalRef: 'feed-1', status: 'OPEN', lines: [{ quantity: 2, status: 'OPEN' }] },
  })
  expect(edges[0]?.node.entityId).toBe(edges[0]?.node.entity?.id)
  expect(pageInfo).toEqual({ hasNextPage: false, endCursor: edges.at(-1)?.cursor })
})

test('a follower that starts from a snapshot and goes on with the feed ends with what the API shows, whatever happens meanwhile', async () => {
  const random = randomFrom(4)
  let n = 0
  const happens = async () => {
    n += 1
    if (n % 3 === 1) await place(`meanwhile-${n}`)
    if (n % 3 === 2) await createAccount(`Meanwhile ${n}`)
    if (n % 4 === 3) await cancel(`meanwhile-${n - 2}`)
    // A thing that moves to another place in a list by name is missed by none of the pages.
    if (random.chance(0.3))
      await data('mutation ($input: ChangeAccountInput!) { changeAccount(input: $input) { __typename } }', {
        input: { account: { externalRef: account?.externalRef }, name: `Renamed ${n}` },
      })
  }
  const { kept, changesAfter } = await takeSnapshot(60, happens)
  await happens()
  const batch = await client.batch.findFirstOrThrow({ where: { distributorId: DEMO_ID, emptiedOn: null } })
  const recorded = await data(
    'mutation ($input: RecordDumpInput!) { recordDump(input: $input) { __typename ... on InvalidInput { message } } }',
    { input: { batch: { id: encodeGlobalId('Batch', batch.id) }, litres: 40 } },
  )
  expect(recorded).toMatchObject({ recordDump: { __typename: expect.stringContaining('Payload') } })
  const { all } = await follow(changesAfter)
  expect(all.length).toBeGreaterThan(n)
  for (const { entityId, entity, entityType } of all) {
    // The snapshot has lines within their orders.
    if (entityType !== 'OrderLine') keep(kept, entityId, entity)
    for (const touched of touchedBy.parse(entity ?? {}).batches ?? []) kept.set(touched.id, touched)
  }
  const now = await takeSnapshot(500)
  expect(kept).toEqual(now.kept)
  expect(now.totalCount).toBe(now.kept.size)
})

test('pages of any size, forwards and backwards, give the same changes in order, each once', async () => {
  const { all } = await follow(undefined, 500)
  expect(all.length).toBeGreaterThan(5)
  const places = all.map(({ revision, n }) => [revision, n] as const)
  expect(places).toEqual([...places].sort(([a, m], [b, n]) => a - b || m - n))
  expect(new Set(places.map(String)).size).toBe(places.length)
  for (const size of [1, 2, 5]) expect((await follow(undefined, size)).all).toEqual(all)
  const back = `query ($before: String) { changes(last: 4, before: $before) { totalCount pageInfo { hasPreviousPage startCursor } edges { node { revision n } } } }`
  const shape = z.object({
    pageInfo: z.object({ hasPreviousPage: z.boolean(), startCursor: z.string().nullable() }),
    ...{ totalCount: z.int(), edges: z.array(z.object({ node: z.object({ revision: z.int(), n: z.int() }) })) },
  })
  const found: (readonly [number, number])[] = []
  for (let before: string | null = null; ; ) {
    const page: z.output<typeof shape> = shape.parse((await data(back, { before })).changes)
    found.unshift(...page.edges.map(({ node }) => [node.revision, node.n] as const))
    expect(page.totalCount).toBe(all.length)
    if (!page.pageInfo.hasPreviousPage) break
    before = page.pageInfo.startCursor
  }
  expect(found).toEqual(places)
})

test('a follower of some kinds gets only these, and goes on behind what it was not interested in', async () => {
  const { position } = await changes({ first: 0 })
  const end = (await follow(position)).position
  await createAccount('Only for others')
  const none = await changes({ after: end, kinds: ['ORDER_PLACED', 'ORDER_CANCELLED'] })
  expect(none).toMatchObject({ edges: [], pageInfo: { hasNextPage: false, endCursor: null } })
  expect((await changes({ after: none.position })).edges).toEqual([])
  expect((await changes({ after: end, kinds: ['ACCOUNT_CREATED'] })).edges).toHaveLength(1)
})

test('a key sees changes of what it may read, and no others', async () => {
  const made = await data(
    'mutation ($input: CreateApiKeyInput!) { createApiKey(input: $input) { ... on CreateApiKeyPayload { key } } }',
    { input: { name: 'gate', scopes: ['movements:read'] } },
  )
  const { key } = z.object({ createApiKey: z.object({ key: z.string() }) }).parse(made).createApiKey
  const typesFor = async (as: 'sales' | { key: string }) =>
    new Set((await changes({ first: 500 }, as)).edges.map(({ node }) => node.entityType))
  const everything = new Set((await follow(undefined, 500)).all.map(({ entityType }) => entityType))
  for (const type of ['ApiKey', 'Order', 'Account', 'Fact']) expect(everything).toContain(type)
  const forSales = await typesFor('sales')
  expect(forSales).toContain('Order')
  expect(forSales).not.toContain('ApiKey')
  const forGate = await typesFor({ key })
  expect([...forGate].filter((type) => ['ApiKey', 'Order', 'OrderLine', 'Fact', 'Plan'].includes(type))).toEqual([])
  expect(forGate).toContain('Account')
  const { snapshot } = await data(
    '{ snapshot(kinds: [Order, Fact]) { totalCount edges { node { entityId } } } }',
    {},
    { key },
  )
  expect(snapshot).toEqual({ totalCount: 0, edges: [] })
})

test('a snapshot of one kind has its things, forwards and backwards, up to its last page', async () => {
  const ids = async (page: string) => {
    const { snapshot } = await data(`{ snapshot(${page}) { pageInfo { endCursor } edges { node { entityId } } } }`)
    return z
      .object({ edges: z.array(z.object({ node: z.object({ entityId: z.string() }) })), pageInfo: z.unknown() })
      .parse(snapshot)
  }
  const of = ({ edges }: Awaited<ReturnType<typeof ids>>) => edges.map(({ node }) => node.entityId)
  const forwards = await ids('kinds: [Account], first: 500')
  expect(of(forwards)).toHaveLength(await client.account.count({ where: { distributorId: DEMO_ID } }))
  expect(of(await ids('kinds: [Account], last: 500'))).toEqual(of(forwards))
  const { endCursor } = z.object({ endCursor: z.string() }).parse(forwards.pageInfo)
  expect(of(await ids(`kinds: [Account], after: "${endCursor}"`))).toEqual([])
})

test('each list says when its things were last changed, and has those since an instant alone', async () => {
  const list = (name: string, more = '') =>
    `query ($since: DateTime!) { ${name}(filter: { changedSince: $since ${more} }) { totalCount edges { node { id updatedAt } } } }`
  const shape = z.object({ edges: z.array(z.object({ node: z.object({ id: z.string(), updatedAt: z.string() }) })) })
  const since = async (name: string, more?: string) =>
    shape
      .parse((await data(list(name, more), { since: clock.now().toISOString() }))[name])
      .edges.map(({ node }) => node)
  clock.set(new Date(clock.now().getTime() + 60_000))
  for (const name of ['orders', 'accounts', 'batches', 'facts', 'vessels', 'reservations'])
    expect(await since(name), name).toEqual([])
  await place('since-1')
  await createAccount('Since')
  const now = clock.now().toISOString()
  for (const name of ['orders', 'accounts'])
    expect(await since(name), name).toEqual([{ id: expect.any(String), updatedAt: now }])
  const batch = await client.batch.findFirstOrThrow({ where: { distributorId: DEMO_ID, emptiedOn: null } })
  await data('mutation ($input: RecordDumpInput!) { recordDump(input: $input) { __typename } }', {
    input: { batch: { id: encodeGlobalId('Batch', batch.id) }, litres: 20 },
  })
  // What a fact is about was changed with it.
  expect(await since('batches')).toEqual([{ id: encodeGlobalId('Batch', batch.id), updatedAt: now }])
  const [fact, ...others] = await since('facts')
  expect(others).toEqual([])
  clock.set(new Date(clock.now().getTime() + 60_000))
  await data('mutation ($input: CorrectFactInput!) { correctFact(input: $input) { __typename } }', {
    input: { fact: fact?.id, withdraw: true },
  })
  // The fact does not count any more, and the beer is there again.
  expect((await since('facts')).map(({ id }) => id)).toContain(fact?.id)
  expect(await since('batches')).toHaveLength(1)
  expect(await since('accounts')).toEqual([])
})

test('a cursor of another distributor, or of nothing, is refused', async () => {
  for (const after of [encodeCursor(['other', 1, 1, 'x']), 'nonsense', encodeCursor([DEMO_ID, 1, 1])]) {
    const { errors } = await ask(CHANGES, { after })
    expect(errors?.[0]?.extensions).toMatchObject({ code: 'BAD_CURSOR' })
  }
  expect((await ask('{ changes(first: 501) { totalCount } }')).errors?.[0]?.extensions).toMatchObject({
    code: 'OUT_OF_RANGE',
  })
})

test('a cursor of commits that the database lost is refused with how to start anew', async () => {
  const { edges } = await changes({ first: 1 })
  const { revision, n } = edges[0]?.node ?? { revision: 0, n: 0 }
  const after = encodeCursor([DEMO_ID, revision, n, '00000000-0000-0000-0000-000000000000'])
  const { errors } = await ask(CHANGES, { after })
  expect(errors?.[0]?.extensions).toMatchObject({ code: 'CURSOR_LOST', action: expect.stringContaining('snapshot') })
})
