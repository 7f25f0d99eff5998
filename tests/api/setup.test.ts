// Every kind of set-up thing: created, read back, changed, retired; with the change log and the revision.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { parseProblem } from '../../src/planner/index.ts'
import { loadProblem } from '../../src/records/load-problem.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'
import { KINDS, type Kind, ref } from './setup-kinds.ts'

const { client, clock, data, revision } = await openTestApi()

const lower = (kind: string) => kind.charAt(0).toLowerCase() + kind.slice(1)
const write = (verb: string, { kind, read }: Kind) => `mutation ($input: ${verb}${kind}Input!) {
  write: ${lower(verb)}${kind}(input: $input) { __typename
    ... on ${kind}Payload { revision ${lower(kind)} { id ${read} } }
    ... on InvalidInput { issues { path code message } } ... on Conflict { code message takenBy equal differs } } }`
const thing = z.record(z.string(), z.unknown())

test.each(KINDS)('$kind: what is created is read back, by id and by reference', async (kind) => {
  const { kind: name, read, create, shown } = kind
  const before = await revision()
  const { write: written } = await data(write('Create', kind), { input: create })
  expect(written).toMatchObject({ __typename: `${name}Payload`, revision: before + 1 })
  const made = thing.parse(thing.parse(written)[lower(name)])
  const plain = Object.fromEntries(
    Object.entries(create).filter(([key, value]) => typeof value !== 'object' && !(key in shown) && key !== 'readyAt'),
  )
  expect(made).toMatchObject({ ...plain, ...shown })
  for (const by of [{ externalRef: create.externalRef }, { id: made.id }]) {
    const query = `query ($by: ThingRef!) { found: ${lower(name)}(by: $by) { id ${read} } }`
    expect((await data(query, { by }, 'sales')).found).toEqual(made)
  }
  const node = await data(`query ($id: ID!) { node(id: $id) { id ... on ${name} { ${read} } } }`, { id: made.id })
  expect(node.node).toEqual(made)
})

test.each(KINDS)('$kind: a change changes what it names and nothing else', async (kind) => {
  const { kind: name, read, create, change, changed } = kind
  const by = { externalRef: create.externalRef }
  const query = `query ($by: ThingRef!) { found: ${lower(name)}(by: $by) { id ${read} } }`
  const before = thing.parse((await data(query, { by })).found)
  const { write: written } = await data(write('Change', kind), { input: { [lower(name)]: by, ...change } })
  expect(thing.parse(written)[lower(name)]).toEqual({ ...before, ...changed })
  const last = await client.changeLogEntry.findFirstOrThrow({
    where: { distributorId: DEMO_ID, entityType: name },
    orderBy: [{ revision: 'desc' }, { n: 'desc' }],
  })
  expect(last.revision).toBe(await revision())
  expect(last.kind).toMatch(/_CHANGED$/)
  expect(last.before).not.toEqual(last.after)
})

test.each(KINDS)('$kind: a change to what it is already makes no revision', async (kind) => {
  const { kind: name, create, change } = kind
  const input = { [lower(name)]: ref(String(create.externalRef)), ...change }
  await data(write('Change', kind), { input })
  const before = await revision()
  expect((await data(write('Change', kind), { input })).write).toMatchObject({
    __typename: `${name}Payload`,
    revision: before,
  })
  expect(await revision()).toBe(before)
})

test.each(KINDS)('$kind: a change that names nothing is refused, a reference that is taken too', async (kind) => {
  const { kind: name, create } = kind
  const before = await revision()
  const nothing = { input: { [lower(name)]: { externalRef: create.externalRef } } }
  expect((await data(write('Change', kind), nothing)).write).toMatchObject({
    __typename: 'InvalidInput',
    issues: [{ path: '', code: 'NOTHING_TO_CHANGE' }],
  })
  const { write: again } = await data(write('Create', kind), { input: create })
  expect(['Conflict', 'InvalidInput']).toContain(thing.parse(again).__typename)
  expect(JSON.stringify(again)).toMatch(/EXTERNAL_REF_TAKEN/)
  expect(await revision()).toBe(before)
})

test.each(KINDS)(
  '$kind: one that is sent again is refused with the thing that has the reference, and what differs; with upsert that thing changes',
  async (kind) => {
    const { kind: name, changed, change, shown } = kind
    const unset = Object.keys(change).filter((key) => !(key in kind.create) && shown[key] === null)
    const create = { ...kind.create, ...Object.fromEntries(unset.map((key) => [key, null])) }
    const send = async (more: object = {}) =>
      thing.parse((await data(write('Create', kind), { input: { ...create, ...more } })).write)
    const by = { externalRef: kind.create.externalRef }
    const { found } = await data(`query ($by: ThingRef!) { found: ${lower(name)}(by: $by) { id } }`, { by })
    const { id } = thing.parse(found)
    const refused = await send()
    if (refused.__typename === 'Conflict') {
      expect(refused).toMatchObject({ code: 'EXTERNAL_REF_TAKEN', takenBy: id, equal: false })
      const differs = z.array(z.string()).min(1).parse(refused.differs)
      expect(differs.filter((field) => !(field in changed) && !(field in change))).toEqual([])
    }
    const before = await revision()
    expect(await send({ upsert: true })).toMatchObject({
      ...{ __typename: `${name}Payload`, revision: before + 1, [lower(name)]: { id } },
    })
    expect(await send()).toMatchObject({ code: 'EXTERNAL_REF_TAKEN', takenBy: id, equal: true, differs: [] })
    expect(await send({ upsert: true })).toMatchObject({ __typename: `${name}Payload`, revision: before + 1 })
    expect(await revision()).toBe(before + 1)
  },
)

test('with upsert a thing that is not there is made, one without a reference is refused, and what never changes must be as it is', async () => {
  const create = `mutation ($input: CreateStoreInput!) { write: createStore(input: $input) { __typename
    ... on StorePayload { store { name climate capacityLitres } } ... on InvalidInput { issues { path code } }
    ... on Conflict { code takenBy equal differs } } }`
  const site = ref('NEW-SITE')
  const send = async (input: object) => (await data(create, { input: { site, upsert: true, ...input } })).write
  const store = { name: 'Cold end', climate: 'WARM', capacityLitres: 900 }
  const [one] = KINDS.filter(({ kind }) => kind === 'Store')
  const climate = one?.create.climate === 'WARM' ? 'COLD' : 'WARM'
  expect(await send({ ...store, climate })).toEqual({
    ...{ __typename: 'InvalidInput', issues: [{ path: 'externalRef', code: 'MISSING_VALUE' }] },
  })
  expect(await send({ ...store, climate, externalRef: 'UPSERTED' })).toEqual({
    ...{ __typename: 'StorePayload', store: { ...store, climate } },
  })
  expect(await send({ ...store, climate: one?.create.climate, externalRef: 'UPSERTED' })).toMatchObject({
    ...{ __typename: 'Conflict', code: 'EXTERNAL_REF_TAKEN', equal: false, differs: ['climate'] },
  })
  expect(await send({ ...store, climate, capacityLitres: 800, externalRef: 'UPSERTED' })).toMatchObject({
    store: { capacityLitres: 800 },
  })
})

test('the records with all these things are a problem that the planner takes', async () => {
  const { problem } = await client.$transaction((tx) =>
    loadProblem(tx, DEMO_ID, { today: '2027-03-01', at: clock.now() }),
  )
  const parsed = parseProblem(JSON.parse(JSON.stringify(problem)))
  expect(parsed.ok ? [] : parsed.faults).toEqual([])
})

test('lists come in pages, are counted, and can be filtered', async () => {
  const query = `query ($first: Int, $after: String, $filter: SiteSetupFilter) {
    vessels(first: $first, after: $after, filter: $filter) {
      totalCount pageInfo { hasNextPage endCursor } edges { cursor node { id name site { externalRef } } } } }`
  const page = z.object({
    totalCount: z.number(),
    pageInfo: z.object({ hasNextPage: z.boolean(), endCursor: z.string() }),
    edges: z.array(
      z.object({ node: z.object({ id: z.string(), site: z.object({ externalRef: z.string().nullable() }) }) }),
    ),
  })
  const all = page.parse((await data(query, {})).vessels)
  expect(all.edges.length).toBe(all.totalCount)
  const seen: string[] = []
  for (let after: string | undefined; ; ) {
    const { edges, pageInfo, totalCount } = page.parse((await data(query, { first: 3, after })).vessels)
    expect(totalCount).toBe(all.totalCount)
    seen.push(...edges.map(({ node }) => node.id))
    if (!pageInfo.hasNextPage) break
    after = pageInfo.endCursor
  }
  expect(seen).toEqual(all.edges.map(({ node }) => node.id))
  const here = page.parse((await data(query, { filter: { site: ref('NEW-SITE'), retired: false } })).vessels)
  expect(here.edges.map(({ node }) => node.site)).toEqual([ref('NEW-SITE')])
  const named = page.parse((await data(query, { filter: { externalRefs: ['NEW-FV', 'NONE'] } })).vessels)
  expect(named.totalCount).toBe(1)
})

test.each([...KINDS].reverse().filter(({ retired }) => retired !== false))(
  '$kind: what is retired stays readable, leaves the lists of what is in use, and stays retired',
  async ({ kind, create }) => {
    const input = { [lower(kind)]: { externalRef: create.externalRef } }
    const retire = `mutation ($input: Retire${kind}Input!) { retire${kind}(input: $input) {
      __typename ... on ${kind}Payload { revision ${lower(kind)} { retiredAt } } } }`
    const first = (await data(retire, { input }))[`retire${kind}`]
    expect(first).toMatchObject({ [lower(kind)]: { retiredAt: '2027-03-01T09:00:00.000Z' } })
    expect((await data(retire, { input }))[`retire${kind}`]).toEqual(first)
    const filter = kind === 'Vessel' || kind === 'Filler' || kind === 'Fleet' || kind === 'Store' || kind === 'Route'
    const list = `query ($filter: ${filter ? 'Site' : ''}SetupFilter) { ${lower(kind)}s(filter: $filter) { totalCount } }`
    const count = (retired: boolean) => data(list, { filter: { retired, externalRefs: [create.externalRef] } })
    expect(await count(false)).toEqual({ [`${lower(kind)}s`]: { totalCount: 0 } })
    expect(await count(true)).toEqual({ [`${lower(kind)}s`]: { totalCount: 1 } })
  },
)

test("the distributor's own settings change, prices by term", async () => {
  const change = `mutation ($input: ChangeDistributorInput!) { changeDistributor(input: $input) {
    __typename ... on DistributorPayload { distributor { name horizonDays costs { late brew } } } ... on InvalidInput { issues { path code } } } }`
  expect((await data(change, { input: { horizonDays: 50, costs: { brew: 150 } } })).changeDistributor).toMatchObject({
    distributor: { horizonDays: 50, costs: { late: 2, brew: 150 } },
  })
  const wrong = { horizonDays: 0, costs: { brew: -1 } }
  expect((await data(change, { input: wrong })).changeDistributor).toMatchObject({
    issues: [
      { path: 'horizonDays', code: 'OUT_OF_RANGE' },
      { path: 'costs.brew', code: 'OUT_OF_RANGE' },
    ],
  })
})

test('of many who take one reference at once, one gets it, and every other is refused', async () => {
  const create = `mutation { createAccount(input: { externalRef: "RACE", name: "The Twice-Wound Egg Timer", routes: [] }) {
    __typename ... on Conflict { code } } }`
  const before = await revision()
  const answers = await Promise.all(Array.from({ length: 8 }, () => data(create)))
  const kinds = answers.map(({ createAccount }) => z.object({ __typename: z.string() }).parse(createAccount).__typename)
  expect(kinds.filter((kind) => kind === 'AccountPayload')).toHaveLength(1)
  expect(kinds.filter((kind) => kind === 'Conflict')).toHaveLength(7)
  expect(await revision()).toBe(before + 1)
})
