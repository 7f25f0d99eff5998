// Walks the schema to every connection and asks it for pages that are none.
import {
  type GraphQLField,
  type GraphQLNamedType,
  getNamedType,
  isInterfaceType,
  isObjectType,
  isRequiredArgument,
} from 'graphql'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { encodeCursor, pagedShape } from '../../src/schema/cursors.ts'
import { schema } from '../../src/schema/schema.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'
import { LONG, WHOLE } from '../support/sampled.ts'

const { ask, data, client } = await openTestApi({ planned: true })

const base64 = (text: string) => Buffer.from(text).toString('base64')

type Field = GraphQLField<unknown, unknown>

function fieldsOf(type: GraphQLNamedType): Field[] {
  return isObjectType(type) || isInterfaceType(type) ? Object.values(type.getFields()) : []
}

const isConnection = (field: Field) => getNamedType(field.type).name.endsWith('Connection')

/** The fields that lead to every connection of the schema from its queries, shortest way first. */
function waysToConnections(): string[][] {
  const query = schema.getQueryType()
  const found: string[][] = []
  const seen = new Set<string>()
  let level: { type: GraphQLNamedType; way: string[] }[] = query ? [{ type: query, way: [] }] : []
  while (level.length > 0) {
    const next: typeof level = []
    for (const { type, way } of level) {
      if (seen.has(type.name)) continue
      seen.add(type.name)
      for (const field of fieldsOf(type)) {
        if (field.args.some(isRequiredArgument)) continue
        const further = [...way, field.name]
        if (isConnection(field)) found.push(further)
        next.push({ type: getNamedType(field.type), way: further })
      }
    }
    level = next
  }
  return found
}

const ways = waysToConnections()
const queryOf = (way: readonly string[], args: string) =>
  `query Q${args.includes('$many') ? '($many: Int)' : ''} { ${way.map((name, index) => (index === way.length - 1 ? `${name}(${args})` : `${name} {`)).join(' ')} { totalCount }${' }'.repeat(way.length)}`

test('the walk comes to every connection of the schema', () => {
  const all = Object.values(schema.getTypeMap()).filter(({ name }) => name.endsWith('Connection'))
  expect(ways.length).toBeGreaterThan(20)
  expect(new Set(ways.map((way) => connectionAt(way)))).toEqual(new Set(all.map(({ name }) => name)))
})

function connectionAt(way: readonly string[]): string {
  let type: GraphQLNamedType | undefined = schema.getQueryType() ?? undefined
  for (const name of way)
    type = getNamedType(fieldsOf(type ?? expect.fail('no type')).find((f) => f.name === name)?.type)
  return type?.name ?? ''
}

/** How the list at the end of a way is paged. */
function pagedOf(way: readonly string[]) {
  return pagedShape.parse(schema.getType(connectionAt(way))?.extensions)
}

/** Connections whose pages are as long as those of most. */
const usual = ways.filter((way) => pagedOf(way).most === undefined)

/** Stands for a cursor that is good for the list. */
const CURSOR = '$cursor'

/** A cursor as the pages of the list have it, made of the columns that it is paged by; of another distributor where one is named. */
function goodCursor(way: readonly string[], distributorId = DEMO_ID): string {
  const columns = pagedOf(way).pagedBy
  // Before all changes, and the first of all things as they were then.
  if (columns === 'distributorId_revision_n') return encodeCursor([distributorId, 0, 0, ''])
  if (columns === 'distributorId_kind_id') return encodeCursor([distributorId, 0, 'a', 0, 0, ''])
  const kind = columns.endsWith('decisionId') ? 'BREW' : 'LATE'
  const texts = new Map([
    ['distributorId', distributorId],
    ['kind', kind],
  ])
  const values = columns.split('_').map((column) => (column === 'n' ? 'N:1' : `S:${texts.get(column) ?? 'a'}`))
  return base64(`GPC:T:${JSON.stringify(values)}`)
}

const BAD: [string, [argument: string, code: string, message: RegExp][]][] = [
  ['first: 201', [['first', 'OUT_OF_RANGE', /201.*at most 200/]]],
  ['last: 250', [['last', 'OUT_OF_RANGE', /250.*at most 200/]]],
  ['first: $many', [['first', 'OUT_OF_RANGE', /1000.*at most 200/]]],
  ['first: -1', [['first', 'OUT_OF_RANGE', /-1.*at least 0/]]],
  ['last: -3', [['last', 'OUT_OF_RANGE', /-3.*at least 0/]]],
  ['first: 2, last: 2', [['last', 'NOT_BOTH', /`first`/]]],
  [
    'first: 250, last: -1',
    [
      ['first', 'OUT_OF_RANGE', /250/],
      ['last', 'OUT_OF_RANGE', /-1/],
      ['last', 'NOT_BOTH', /`first`/],
    ],
  ],
  [`first: 2, before: ${CURSOR}`, [['before', 'NOT_BOTH', /`first`/]]],
  [`last: 2, after: ${CURSOR}`, [['after', 'NOT_BOTH', /`last`/]]],
  [`after: ${CURSOR}, before: ${CURSOR}`, [['before', 'NOT_BOTH', /`after`/]]],
]

test.each(BAD)('a page of (%s) is refused on every connection', async (args, expected) => {
  for (const way of /\d{3}|many/.test(args) ? usual : ways) {
    const { errors } = await ask(queryOf(way, args.replaceAll(CURSOR, JSON.stringify(goodCursor(way)))), { many: 1000 })
    const inside = way.slice(1).map((name) => `${name}.`)
    expect(errors, way.join('.')).toHaveLength(1)
    expect(errors?.[0]?.path).toEqual(way.slice(0, 1))
    expect(errors?.[0]?.extensions?.issues).toEqual(
      expected.map(([argument, code, message]) => ({
        path: `${inside.join('')}${argument}`,
        code,
        message: expect.stringMatching(message),
        action: expect.any(String),
      })),
    )
  }
})

test('pages of 0 to 200 things are answered by every connection, from either end', async () => {
  for (const args of ['first: 0', 'first: 200', 'last: 0', 'last: 200', 'first: null, last: 1'])
    for (const way of ways) expect((await ask(queryOf(way, args))).errors, `${way.join('.')}(${args})`).toBeUndefined()
})

test('a page that is none fails its own root field, and the others are answered', async () => {
  const answer = await ask('{ beers(first: 250) { totalCount } distributor { name } }')
  expect(answer.data).toEqual({ beers: null, distributor: { name: expect.any(String) } })
  expect(answer.errors).toHaveLength(1)
})

test('pages inside fragments and under other names are looked at too', async () => {
  const { errors } = await ask(
    '{ planInForce { ...P } } fragment P on Plan { runs: fillRuns(first: 201) { edges { node { ... on FillRun { id } } } } ... { dumps(last: 201) { totalCount } } }',
  )
  expect(errors?.[0]?.extensions?.issues).toMatchObject([{ path: 'runs.first' }, { path: 'dumps.last' }])
})

test('a mutation whose answer asks for a page that is none writes nothing', async () => {
  const before = await client.plan.count()
  const { draftPlan } = z
    .object({ draftPlan: z.unknown() })
    .parse(
      await data(
        'mutation { draftPlan(input: { effort: { steps: 1 } }) { __typename ... on PlanPayload { plan { brews(first: 201) { totalCount } } } ... on InvalidInput { issues { path code } } } }',
      ),
    )
  expect(draftPlan).toEqual({
    __typename: 'InvalidInput',
    issues: [{ path: 'plan.brews.first', code: 'OUT_OF_RANGE' }],
  })
  expect(await client.plan.count()).toBe(before)
})

test('what is wrong with a page and with a filter of one field is answered at once', async () => {
  const issuesOf = async (query: string) => (await ask(query)).errors?.map(({ extensions }) => extensions?.issues)
  expect(
    await issuesOf(
      '{ orders(first: 250, filter: { serveFrom: "2027-03-02", serveTo: "2027-03-01", account: { externalRef: "NONE" } }) { totalCount } }',
    ),
  ).toMatchObject([
    [
      { path: 'first', code: 'OUT_OF_RANGE' },
      { path: 'filter.serveTo', code: 'SPAN_REVERSED' },
      { path: 'filter.account', code: 'NO_SUCH_THING' },
    ],
  ])
  expect(
    await issuesOf('{ reservations(last: -1, filter: { account: { externalRef: "NONE" } }) { totalCount } }'),
  ).toMatchObject([[{ path: 'last' }, { code: 'NO_SUCH_THING' }]])
  expect(
    await issuesOf('{ vessels(first: 2, last: 2, filter: { site: { externalRef: "NONE" } }) { totalCount } }'),
  ).toMatchObject([[{ path: 'last', code: 'NOT_BOTH' }, { code: 'NO_SUCH_THING' }]])
})

/** Texts that are no cursor of any list: no cursor at all, or one with other columns or other kinds of values. */
const NO_CURSORS = [
  '',
  'zzz',
  'GPC:Z:',
  'GPC:T:{}',
  'GPC:T:["S:a"]',
  'GPC:T:["O:{}","O:[1]"]',
  'GPC:J:[1,{"a":2}]',
].concat(
  ['["D:9e99","D:5"]', '["S:a","S:\\u0000"]', '["S:a","S:b","I:5"]', '["S:a","S:b","N:1.5"]'].map(
    (each) => `GPC:T:${each}`,
  ),
  ['GPC:T:["S:a","S:b","S:NONE","S:c"]'],
)

/** Connections of which each is asked with a text: all in the long run, else every eighth on a server and every sixteenth here, so that each is asked with several. */
const waysFor = (text: string) =>
  ways.filter((_, index) => LONG || (index + NO_CURSORS.indexOf(text)) % (WHOLE ? 8 : 16) === 0)

test.each(NO_CURSORS)('every connection refuses the cursor %s, from either end', async (text) => {
  for (const way of waysFor(text))
    for (const name of ['after', 'before']) {
      const cursor = text.startsWith('GPC') ? base64(text) : text
      const answer = await ask(queryOf(way, `${name}: ${JSON.stringify(cursor)}`))
      expect(answer.errors?.[0]?.extensions?.issues, `${way.join('.')}(${name})`).toEqual([
        {
          path: [...way.slice(1), name].join('.'),
          code: 'BAD_CURSOR',
          message: `"${cursor}" is no cursor of this list`,
          action: expect.any(String),
        },
      ])
    }
})

test('every connection refuses a cursor of another distributor, before anything is read', async () => {
  for (const way of ways) {
    const answer = await ask(queryOf(way, `first: 1, after: ${JSON.stringify(goodCursor(way, 'other'))}`))
    expect(answer.errors?.[0]?.extensions?.issues, way.join('.')).toMatchObject([
      { path: [...way.slice(1), 'after'].join('.'), code: 'BAD_CURSOR' },
    ])
  }
})

test('every list is paged by the columns that its connection says, so that a good cursor is answered', async () => {
  for (const way of ways) {
    const { errors } = await ask(
      queryOf(way, `first: 1, after: ${JSON.stringify(goodCursor(way))}`).replace('totalCount', 'edges { cursor }'),
    )
    expect(errors, way.join('.')).toBeUndefined()
  }
})

test('a cursor that is none and what is wrong with the filter are answered at once', async () => {
  const { errors } = await ask(
    '{ orders(after: "zzz", filter: { serveFrom: "2027-03-02", serveTo: "2027-03-01", account: { externalRef: "NONE" } }) { totalCount } }',
  )
  expect(errors?.[0]?.extensions?.issues).toMatchObject([
    { path: 'after', code: 'BAD_CURSOR' },
    { path: 'filter.serveTo', code: 'SPAN_REVERSED' },
    { path: 'filter.account', code: 'NO_SUCH_THING' },
  ])
})

test('the cursors of a page are good for the page after it and the one before it', async () => {
  const page = z.object({ edges: z.array(z.object({ cursor: z.string() })) })
  const answered = z.object({ planInForce: z.object({ late: page, deliveries: page, brews: page }), orders: page })
  const asked = (args: (list: string) => string) => {
    const list = (name: string) => `${name}(${args(name)}) { edges { cursor } }`
    return `{ orders(${args('orders')}) { edges { cursor } } planInForce { ${['late', 'deliveries', 'brews'].map(list).join(' ')} } }`
  }
  const flat = ({ planInForce, orders }: z.output<typeof answered>) => ({ ...planInForce, orders })
  const first = new Map(Object.entries(flat(answered.parse(await data(asked(() => 'first: 2'))))))
  const cursor = (name: string, at: number) => JSON.stringify(first.get(name)?.edges[at]?.cursor)
  const second = flat(answered.parse(await data(asked((name) => `first: 1, after: ${cursor(name, 0)}`))))
  const back = flat(answered.parse(await data(asked((name) => `last: 1, before: ${cursor(name, 1)}`))))
  for (const [name, { edges }] of first) {
    expect(edges).toHaveLength(2)
    expect(new Map(Object.entries(second)).get(name)?.edges).toEqual([edges[1]])
    expect(new Map(Object.entries(back)).get(name)?.edges).toEqual([edges[0]])
  }
})

test('a bad page of things by id is refused as their kind is, and leaves nothing behind that ends the server', async () => {
  const unheard: unknown[] = []
  const note = (reason: unknown) => unheard.push(reason)
  process.on('unhandledRejection', note)
  const ids = [1, 2, 3].map((n) => encodeGlobalId('ApiKey', `k${n}`))
  const query = 'query ($ids: [ID!]!) { nodes(ids: $ids) { ... on Plan { brews(first: -1) { totalCount } } } }'
  const { errors } = await ask(query, { ids }, 'sales')
  expect(errors).toMatchObject([{ extensions: { code: 'SCOPE_MISSING' } }])
  const bad = await ask(query, { ids: ['no id', 'none'] }, 'sales')
  expect(bad.errors?.[0]?.extensions).toMatchObject({ kind: 'INVALID_INPUT' })
  await new Promise((resolve) => setTimeout(resolve, 10))
  process.off('unhandledRejection', note)
  expect(unheard).toEqual([])
})
