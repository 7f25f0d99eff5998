// The schema through the API: it needs a key unless the setting opens it, and costs what it answers.
import { getIntrospectionQuery } from 'graphql'
import { expect, test } from 'vitest'
import { createApp } from '../../src/app.ts'
import { openTestApi } from '../support/api.ts'
import { processorTime } from '../support/processor-time.ts'

const { ask, data, client, clock, faults } = await openTestApi()
const open = createApp({ client, clock, onFault: (error) => faults.push(error), openIntrospection: true })

const WHOLE = getIntrospectionQuery({ inputValueDeprecation: true, schemaDescription: true, specifiedByUrl: true })
const OTHERS = {
  'the schema': '{ __schema { queryType { name } } }',
  'a type': '{ __type(name: "Beer") { name } }',
  'the schema under another name': '{ a: __schema { queryType { name } } }',
  'the schema in a fragment': 'query { ...Q } fragment Q on Query { ... { __schema { queryType { name } } } }',
}

test.each(Object.entries(OTHERS))('%s is refused without a key, and read with any', async (_what, query) => {
  const refused = await ask(query, {}, null)
  expect(refused.status).toBe(401)
  expect(refused.data ?? null).toBeNull()
  expect(refused.errors).toMatchObject([
    { extensions: { code: 'KEY_MISSING', action: expect.stringContaining('Bearer') } },
  ])
  expect(Object.values(await data(query, {}, 'sales'))).not.toContain(null)
})

test('the name of a type stays free', async () => {
  expect((await ask('{ __typename }', {}, null)).data).toEqual({ __typename: 'Query' })
})

test('the setting opens it to all', async () => {
  for (const query of [...Object.values(OTHERS), WHOLE]) {
    const body = JSON.stringify({ query })
    const headers = { 'content-type': 'application/json' }
    const answer = await open.fetch('http://test/graphql', { method: 'POST', headers, body })
    expect(answer.status).toBe(200)
    expect(await answer.json()).toEqual({ data: expect.anything() })
  }
})

test('the whole schema, as editors ask for it, is within the limits, and those of other fields hold beside it', async () => {
  expect(await data(WHOLE, {}, 'sales')).toMatchObject({ __schema: { types: expect.anything() } })
  expect(Object.keys(await data('{ __type(name: "Beer") { name } distributor { name } }', {}, 'sales'))).toHaveLength(2)
  expect(await data('query ($name: String!) { __type(name: $name) { name } }', { name: 'Beer' })).toEqual({
    __type: { name: 'Beer' },
  })
  expect(await data('{ __type(name: "Moon") { name } }')).toEqual({ __type: null })
})

const aliases = (count: number, field: string) => Array.from({ length: count }, (_, n) => `a${n}: ${field}`).join(' ')
const deep = (levels: number) => `${'ofType { '.repeat(levels)} name ${'} '.repeat(levels)}`

test.each([
  [
    '33 KB of names for one list',
    `{ __schema { ${aliases(450, 'types { name description fields { name description } }')} } }`,
    'QUERY_TOO_LARGE',
  ],
  ['many names for the schema', `{ ${aliases(400, '__schema { types { name } }')} }`, 'QUERY_TOO_LARGE'],
  [
    'fields of a fragment, wherever it is used',
    `{ __schema { types { ${'...F '.repeat(10)} fields { ${'...F '.repeat(10)} } } } } fragment F on __Type { ${aliases(60, 'kind')} }`.replace(
      'fields { ...F',
      'ofType { ...F',
    ),
    'QUERY_TOO_LARGE',
  ],
  ['types of types without end', `{ __schema { types { ${deep(20)} } } }`, 'QUERY_TOO_DEEP'],
  [
    'few names for long lists',
    `{ __schema { ${aliases(60, 'types { fields { name description args { name } } }')} } }`,
    'QUERY_TOO_COSTLY',
  ],
])('a look at the schema is refused that asks for %s', async (_what, query, code) => {
  const { result, took } = await processorTime(() => ask(query, {}, 'sales'))
  const { errors, data: answered } = result
  expect(answered ?? null).toBeNull()
  expect(errors).toMatchObject([{ extensions: { code, kind: 'INVALID_INPUT', issues: [{ path: 'query' }] } }])
  expect(took).toBeLessThan(2000)
})

test('whatever is answered about the schema is shorter than four megabytes', async () => {
  const most = async (query: (times: number) => string) => {
    let answered = ''
    for (let times = 1; times <= 512; times *= 2) {
      const answer = await ask(query(times), {}, 'sales')
      if (answer.errors) return answered.length
      answered = JSON.stringify(answer.data)
    }
    throw new Error('nothing was refused')
  }
  for (const field of ['description', 'name', 'fields { description }', 'fields { args { description } }'])
    expect(await most((times) => `{ __schema { types { ${aliases(times, field)} } } }`), field).toBeLessThan(4_000_000)
  expect(faults).toEqual([])
})
