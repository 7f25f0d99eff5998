// Every root field of the schema, and every place of its arguments where something of the records is named: what a key may not see it
// does not learn of either, whether it is another distributor's or the key lacks the scope.
import { getNamedType, isObjectType } from 'graphql'
import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import { makePlan } from '../../src/planner/index.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { hashKey } from '../../src/resolvers/access/authenticate.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { schema } from '../../src/schema/schema.ts'
import { ALL_SCOPES } from '../../src/scopes.ts'
import {
  documentOf,
  type Place,
  placesOf,
  type RootField,
  rootFields,
  variablesOf,
} from '../../tools/hostile/walk-schema.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'
import { rowsOf } from '../support/kept-rows.ts'
import { oneVesselBrewery, order } from '../support/one-vessel-brewery.ts'
import { sampledUnlessOnServer } from '../support/sampled.ts'
import { fillingOf, harvest, KINDS, kindsOf, type Things } from '../support/things.ts'

const { app, client, pool, clock, jobs, data, keys } = await openTestApi({ planned: true })
const ROOTS = rootFields(schema)

// ---- another distributor, whose keys ask

const problem = oneVesselBrewery({ orderLines: [order('a', 5, 8)] })
const { plan } = makePlan(problem, { steps: 20 })
const other = { distributor: { name: 'Other', timeZone: 'UTC' }, problem: { ...problem, baseline: plan }, names: {} }
await client.$transaction((tx) => saveSetup(tx, 'other', other, clock.now()))

async function keyWith(distributorId: string, scopes: readonly string[]): Promise<string> {
  const key = `fw_${hashKey(`${distributorId} ${scopes.join(' ')}`)}`
  const row = { distributorId, id: hashKey(key).slice(0, 8), name: 'Test', hash: hashKey(key), scopes: [...scopes] }
  await client.apiKey.upsert({ where: { hash: row.hash }, create: { ...row, createdAt: clock.now() }, update: {} })
  return key
}

const stranger = await keyWith('other', ALL_SCOPES)

// ---- asking

async function ask(root: RootField, variables: Record<string, unknown>, key: string, depth = 1): Promise<string> {
  const isSubscription = root.operation === 'subscription'
  const response = await app.fetch('http://test/graphql', {
    method: 'POST',
    headers: {
      'content-type': 'application/json',
      authorization: `Bearer ${key}`,
      ...(isSubscription ? { accept: 'text/event-stream' } : {}),
    },
    body: JSON.stringify({ query: documentOf(schema, root, Object.keys(variables), depth), variables }),
  })
  return response.text()
}

/** How deep the limits of queries allow a root field to be asked, once that is known. */
const depthOf = new Map<string, number>()

/** The same as deep as the limits of queries allow. */
async function askDeep(root: RootField, variables: Record<string, unknown>, key: string): Promise<string> {
  for (let depth = depthOf.get(root.name) ?? 4; ; depth -= 1) {
    depthOf.set(root.name, depth)
    const answer = await ask(root, variables, key, depth)
    if (depth === 0 || !/"code":"QUERY_TOO_\w+"/.test(answer)) return answer
  }
}

/** What all queries of a distributor show of its things. */
async function thingsOf(key: string): Promise<Things> {
  const things: Things = new Map()
  for (let round = 1; round <= 2; round += 1)
    for (const root of ROOTS.filter(({ operation }) => operation === 'query')) {
      harvest(things, JSON.parse(await askDeep(root, variablesOf(root, fillingOf(things)), key)))
    }
  return things
}

/** The number of an order that only the demo has. */
const THEIR_NUMBER = 123_456

/** Makes of the demo's what its set-up has none of. */
async function makeTheRest(): Promise<void> {
  const account = '{ externalRef: "C-101" }'
  const lines = '[{ pack: { externalRef: "MAR-KEG50" }, quantity: 1 }]'
  const hook = 'url: "https://shop.example/hooks", kinds: [ORDER_PLACED]'
  await data(`mutation { registerWebhook(input: { ${hook} }) { __typename } }`)
  const asked = `account: ${account}, serveOn: "2027-03-20", lines: ${lines}`
  await data(`mutation { placeOrder(input: { ${asked}, externalRef: "ORDER-1", accept: LATER }) { __typename } }`)
  await client.order.updateMany({ where: { externalRef: 'ORDER-1' }, data: { number: THEIR_NUMBER } })
  await data(`mutation { reserveBeer(input: { ${asked}, externalRef: "RESERVED-1" }) { __typename } }`)
  const answers = [
    await data(
      `mutation { draftPlan(input: { effort: { steps: 5 } }) { ... on PlanPayload { plan { __typename id } } } }`,
    ),
    await data(
      `mutation { compare(input: { effort: { steps: 5 }, scenarios: [
        { name: "Less", changes: [{ without: { day: { day: "2027-03-03" } } }] }] }) {
        ... on ComparePayload { comparison { __typename id } } } }`,
    ),
  ]
  await jobs.settled()
  for (const answer of answers) harvest(owned, answer)
}

const owned: Things = new Map()
await makeTheRest()
for (const [kind, thing] of await thingsOf(keys.admin))
  if (!owned.has(kind) || thing.externalRef) owned.set(kind, thing)
const strangers = await thingsOf(stranger)

test('there is a thing of every kind to ask for', () => {
  expect(KINDS.filter((kind) => !owned.has(kind))).toEqual([])
})

// ---- what is compared

/** An answer without what two answers may differ in: what was asked for, new ids, revisions and instants; where something was written, that alone. */
function plain(text: string, value: unknown): string {
  const [, written] = /"__typename":"(\w+Payload)"/.exec(text) ?? []
  if (written !== undefined) return written
  return text
    .replaceAll(String(value), '<asked>')
    .replace(/"(id|code|key)":"[^"]*"/g, '"$1":"<new>"')
    .replace(/"(revision|number)":\d+/g, '"$1":"<new>"')
    .replace(/"[^"]*T[\d:.]+Z"/g, '"<instant>"')
}

/** Values of the demo's for a place, each with one like it that nothing has. */
function valuesFor(place: Place): [theirs: unknown, nowhere: unknown][] {
  return kindsOf(place).flatMap((kind): [unknown, unknown][] => {
    const thing = owned.get(kind)
    const name = place.path.at(-1)
    if (place.kind === 'id') return thing ? [[thing.id, encodeGlobalId(kind, 'nowhere')]] : []
    if (name === 'number') return [[THEIR_NUMBER, 987_654]]
    if (name === 'externalRef') return thing?.externalRef ? [[thing.externalRef, 'NOWHERE-1']] : []
    return []
  })
}

// What was asked of the demo so far may have begun work, a search for a bound for one.
await jobs.settled()
const rowsBefore = await rowsOf(pool, DEMO_ID)

describe("another distributor's things", () => {
  test.each(sampledUnlessOnServer(ROOTS, 24).map((root) => [root.name, root] as const))(
    '%s answers of them as of what is nowhere',
    async (_, root) => {
      for (const place of placesOf(root))
        for (const [theirs, nowhere] of valuesFor(place)) {
          const filling = fillingOf(strangers)
          const [answer, unknown] = [
            await ask(root, variablesOf(root, filling, { place, value: theirs }), stranger),
            await ask(root, variablesOf(root, filling, { place, value: nowhere }), stranger),
          ]
          expect(plain(answer, theirs), `${place.path.join('.')} = ${theirs}`).toBe(plain(unknown, nowhere))
        }
    },
  )

  test('no list shows them', async () => {
    const ids = [...owned.values()].map(({ id }) => id)
    for (const root of ROOTS.filter(({ operation }) => operation === 'query')) {
      const answer = await askDeep(root, variablesOf(root, fillingOf(strangers)), stranger)
      expect(
        ids.filter((id) => answer.includes(`"${id}"`)),
        root.name,
      ).toEqual([])
    }
  })

  test('none of all that has changed a row of theirs', async () => {
    await jobs.settled()
    expect(await rowsOf(pool, DEMO_ID)).toEqual(rowsBefore)
  })
})

// ---- scopes

/** The scope that fields of a type need, whatever field leads to it. */
const scopeOfType = (name: string): string | undefined => {
  const type = schema.getType(name)
  const options = z
    .object({ pothosOptions: z.object({ authScopes: z.object({ scope: z.string() }) }) })
    .safeParse(isObjectType(type) ? type.extensions : {})
  return options.success ? options.data.pothosOptions.authScopes.scope : undefined
}

/** Scopes that some type needs, whatever field leads to it. */
const SHOWING = ALL_SCOPES.filter((scope) =>
  Object.keys(schema.getTypeMap()).some((name) => scopeOfType(name) === scope),
)

describe('a key without a scope', () => {
  test('the scopes that types need are known to the walk', () => {
    expect(SHOWING).toEqual(expect.arrayContaining(['orders:read', 'plan:read']))
  })

  test.each(ROOTS.filter(({ scope }) => scope !== 'any').map((root) => [root.name, root.scope, root] as const))(
    '%s without %s is refused, whether what it names is there or not',
    async (_, scope, root) => {
      const keysWithout = [
        await keyWith(
          DEMO_ID,
          ALL_SCOPES.filter((each) => each !== scope),
        ),
        await keyWith(DEMO_ID, [scope === 'webhooks:write' ? 'orders:read' : 'webhooks:write']),
      ]
      for (const key of keysWithout)
        for (const filling of [fillingOf(owned), fillingOf(new Map())]) {
          const answer = await ask(root, variablesOf(root, filling), key)
          expect(answer).toContain('SCOPE_MISSING')
          expect(answer).toContain(`lacks the scope ${scope}`)
          expect(answer).not.toContain('"revision"')
        }
    },
  )

  test.each(sampledUnlessOnServer(SHOWING, 2))(
    'without %s nothing shows what needs it, and ids are not said to be there',
    async (scope) => {
      const key = await keyWith(
        DEMO_ID,
        ALL_SCOPES.filter((each) => each !== scope),
      )
      for (const root of ROOTS.filter(({ operation }) => operation === 'query')) {
        const answer = await askDeep(root, variablesOf(root, fillingOf(owned)), key)
        const shown = [...answer.matchAll(/"__typename":"(\w+)"/g)].map(([, name = '']) => name)
        expect(
          shown.filter((name) => scopeOfType(name) === scope),
          root.name,
        ).toEqual([])
      }
      const node = ROOTS.find(({ name }) => name === 'node')
      for (const kind of KINDS.filter((each) => scopeOfType(each) === scope)) {
        if (!node) continue
        const [there, nowhere] = [owned.get(kind)?.id ?? '', encodeGlobalId(kind, 'nowhere')]
        const answers = [await ask(node, { id: there }, key, 0), await ask(node, { id: nowhere }, key, 0)]
        expect(plain(answers[0] ?? '', there)).toBe(plain(answers[1] ?? '', nowhere))
      }
    },
  )
})

test('the types of all root fields are known to the walk', () => {
  for (const { field } of ROOTS) expect(getNamedType(field.type)).toBeDefined()
})
