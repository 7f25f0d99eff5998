// What was changed since an instant, in every list that can be asked so; for what does not stand in the change log each time, the
// database notes the instant itself.
import { GraphQLInputObjectType, GraphQLObjectType, getNamedType } from 'graphql'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { schema } from '../../src/schema/schema.ts'
import { openTestApi } from '../support/api.ts'

const { ask, data, jobs, pool } = await openTestApi({ planned: true })

/** Lists of things with `updatedAt` that cannot be asked so, with the reason. */
const WITHOUT = ['unconfirmed' /* what is left to confirm, read whole */]

/** Lists whose things do not say when they were changed, since they never are or are read by a cursor. */
const SILENT = ['changes', 'movements', 'snapshot']

/** What the list of a connection has, if the field is one. */
function nodeOf(type: unknown): GraphQLObjectType | undefined {
  const edge = type instanceof GraphQLObjectType ? getNamedType(type.getFields().edges?.type) : undefined
  const node = edge instanceof GraphQLObjectType ? getNamedType(edge.getFields().node?.type) : undefined
  return node instanceof GraphQLObjectType ? node : undefined
}

const lists = Object.values(schema.getQueryType()?.getFields() ?? {}).flatMap(({ name, type, args }) => {
  const named = getNamedType(type)
  if (!(named instanceof GraphQLObjectType) || !named.name.endsWith('Connection')) return []
  return [{ name, args, dated: nodeOf(named)?.getFields().updatedAt !== undefined }]
})

test('things in every list say when they were changed, but for what never is', () => {
  expect(lists.length).toBeGreaterThan(20)
  expect(lists.flatMap(({ name, dated }) => (dated ? [] : [name])).sort()).toEqual(SILENT)
})

test('every such list can be asked for what was changed since an instant', () => {
  for (const { name, args } of lists.filter((list) => list.dated && !WITHOUT.includes(list.name))) {
    const filter = args.map(({ type }) => getNamedType(type)).find((type) => type instanceof GraphQLInputObjectType)
    expect(Object.keys(filter?.getFields() ?? {}), name).toContain('changedSince')
  }
})

const instant = z.array(z.object({ now: z.date() })).length(1)
const page = z.object({ totalCount: z.int(), edges: z.array(z.object({ node: z.object({ id: z.string() }) })) })

/** The database's clock, which notes these instants. */
async function now(): Promise<string> {
  const { rows } = await pool.query('SELECT clock_timestamp() AS now')
  return instant.parse(rows)[0]?.now.toISOString() ?? ''
}

/** The ids in a list that were changed since. */
async function changed(list: string, since: string): Promise<string[]> {
  const query = `query ($since: DateTime!) { ${list}(filter: { changedSince: $since }) { totalCount edges { node { id } } } }`
  const { totalCount, edges } = page.parse((await data(query, { since }))[list])
  expect(totalCount).toBe(edges.length)
  return edges.map(({ node }) => node.id)
}

const madeId = z.object({ made: z.object({ it: z.object({ id: z.string() }) }) })
const made = async (mutation: string) => madeId.parse(await data(`mutation { made: ${mutation} }`)).made.it.id

test('a key is in the list since it was made, rotated or revoked, and not because it was used', async () => {
  const before = await now()
  const id = await made(
    'createApiKey(input: { name: "till", scopes: ["orders:read"] }) { ... on CreateApiKeyPayload { it: apiKey { id } } }',
  )
  expect(await changed('apiKeys', before)).toEqual([id])
  for (const change of ['rotateApiKey', 'revokeApiKey']) {
    const since = await now()
    expect(await changed('apiKeys', since)).toEqual([])
    await data(
      `mutation ($input: ${change[0]?.toUpperCase()}${change.slice(1)}Input!) { ${change}(input: $input) { __typename } }`,
      {
        input: { id },
      },
    )
    expect(await changed('apiKeys', since), change).toEqual([id])
  }
})

test('a webhook is in the list since it was registered or its secret replaced', async () => {
  const before = await now()
  const id = await made(
    'registerWebhook(input: { url: "https://shop.example/hooks", kinds: [ORDER_PLACED] }) { ... on WebhookSecretPayload { it: webhook { id } } }',
  )
  expect(await changed('webhooks', before)).toEqual([id])
  const since = await now()
  expect(await changed('webhooks', since)).toEqual([])
  await data('mutation ($input: RotateWebhookSecretInput!) { rotateWebhookSecret(input: $input) { __typename } }', {
    input: { webhook: id },
  })
  expect(await changed('webhooks', since)).toEqual([id])
})

test('a draft is in the list since it was asked for, was found, and was adopted, and the plan that it replaces with it', async () => {
  const before = await now()
  const id = await made('draftPlan(input: { effort: { steps: 5 } }) { ... on PlanPayload { it: plan { id } } }')
  expect(await changed('plans', before)).toContain(id)
  await jobs.settled()
  const since = await now()
  expect(await changed('plans', since)).toEqual([])
  const adopted = await data('mutation ($input: AdoptPlanInput!) { adoptPlan(input: $input) { __typename } }', {
    input: { id },
  })
  expect(adopted).toEqual({ adoptPlan: { __typename: 'PlanPayload' } })
  const both = await changed('plans', since)
  expect(both).toHaveLength(2)
  expect(both).toContain(id)
})

test('a comparison is in the list since it was asked for, and since its scenarios were planned', async () => {
  const before = await now()
  const id = await made(
    `compare(input: { effort: { steps: 5 }, scenarios: [{ name: "less", changes: [{ without: { day: { day: "2027-03-03" } } }] }] }) { ... on ComparePayload { it: comparison { id } } }`,
  )
  expect(await changed('comparisons', before)).toEqual([id])
  await jobs.settled()
  expect(await changed('comparisons', before)).toEqual([id])
  expect(await changed('comparisons', await now())).toEqual([])
})

test('an instant that is none is refused', async () => {
  for (const list of ['plans', 'webhooks']) {
    const { errors } = await ask(`{ ${list}(filter: { changedSince: "yesterday" }) { totalCount } }`)
    expect(errors?.[0]?.message, list).toContain('yesterday')
  }
})
