// Lists of facts, one fact by its id, corrections and confirmations through the API.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { ask, data, client, scenario } = await openTestApi()
const distributorId = DEMO_ID
const { today } = scenario.problem
// One batch of the demo is kept back to begin with.
const free = { distributorId, emptiedOn: null, quarantined: false }
const batches = await client.batch.findMany({ where: free, orderBy: { id: 'asc' } })
const [first, second] = batches.map(({ id }) => ({ id: encodeGlobalId('Batch', id) }))

const payload = z.object({ answer: z.object({ facts: z.array(z.object({ id: z.string() })) }) })
const RECORD = `mutation ($input: RecordFactsInput!) { answer: recordFacts(input: $input) { ... on FactsPayload { facts { id } } } }`
const CORRECT = `mutation ($input: CorrectFactInput!) { answer: correctFact(input: $input) {
  __typename ... on FactsPayload { facts { id withdraws corrects { id } } } ... on InvalidInput { issues { path code } } } }`
const list = z.object({
  facts: z.object({ totalCount: z.number(), edges: z.array(z.object({ node: z.object({ id: z.string() }) })) }),
})
const listed = async (filter: object) => {
  const { facts } = list.parse(
    await data(
      'query ($filter: FactFilter) { facts(filter: $filter) { totalCount edges { node { id } } } }',
      { filter },
      'planner',
    ),
  )
  expect(facts.totalCount).toBe(facts.edges.length)
  return facts.edges.map(({ node }) => node.id)
}

const facts = [
  { reading: { batch: first, gravity: 1.012 } },
  { reading: { batch: second, celsius: 11 } },
  { batchQuarantined: { batch: second, why: 'a smell' } },
]
const [reading = '', other = '', kept = ''] = payload
  .parse(await data(RECORD, { input: { facts } }, 'floor'))
  .answer.facts.map(({ id }) => id)

test('facts are listed the newest first, by kind, by thing, by day, and as far as they count', async () => {
  expect(await listed({ kinds: ['READING', 'QUARANTINED'] })).toEqual([kept, other, reading])
  expect(await listed({ batch: second, kinds: ['READING'] })).toEqual([other])
  expect(await listed({ from: today, to: today, kinds: ['QUARANTINED'] })).toEqual([kept])
  expect(await listed({ assumed: true })).toEqual([])
  expect(await data('{ unconfirmed { totalCount } }', {}, 'floor')).toEqual({ unconfirmed: { totalCount: 0 } })
  const { errors } = await ask(
    'query ($filter: FactFilter) { facts(filter: $filter) { totalCount } }',
    { filter: { from: today, to: '2020-01-01', batch: { externalRef: 'NONE' } } },
    'floor',
  )
  expect(errors?.[0]?.extensions).toMatchObject({ code: expect.stringMatching(/SPAN_REVERSED|NO_SUCH_THING/) })
})

test('a fact that is withdrawn counts no more, names what corrects it, and is found by its id', async () => {
  const answer = await data(CORRECT, { input: { fact: kept, withdraw: true } }, 'floor')
  expect(answer).toMatchObject({ answer: { facts: [{ withdraws: true, corrects: { id: kept } }] } })
  const [{ id: withdrawal } = { id: '' }] = payload.parse(answer).answer.facts
  const node =
    'query ($id: ID!) { node(id: $id) { ... on Fact { kind why counts correctedBy { id } batches { quarantined } } } }'
  expect(await data(node, { id: kept }, 'sales')).toEqual({
    node: {
      ...{ kind: 'QUARANTINED', why: 'a smell', counts: false, correctedBy: { id: withdrawal } },
      batches: [{ quarantined: false }],
    },
  })
  expect(await listed({ batch: second, effectiveOnly: true, kinds: ['READING', 'QUARANTINED'] })).toEqual([other])
  expect(await data(CORRECT, { input: { fact: withdrawal, withdraw: true } }, 'floor')).toMatchObject({
    answer: { issues: [{ path: 'fact', code: 'NO_CORRECTION_OF_CORRECTION' }] },
  })
})
