// A change of set-up that the plan in force has to follow: its answer says what moved and who must hear of a promise at risk.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { createApiKey } from '../../src/resolvers/access/keys.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { ask, client, clock, data, faults, scenario } = await openTestApi({ planned: true })
const { today } = scenario.problem

const CHANGE = `mutation ($input: ChangeBatchInput!) { changeBatch(input: $input) { __typename ... on BatchPayload {
  batch { readyAt } moved { dropped { kind } added { kind } moved { kind } }
  atRisk { isNew promisedOn expectedOn account { name } orderLine { id } reasons { rule message } } } } }`
const shape = z.object({
  changeBatch: z.object({
    moved: z.object({ dropped: z.array(z.unknown()), added: z.array(z.unknown()), moved: z.array(z.unknown()) }),
    atRisk: z.array(
      z.object({ isNew: z.boolean(), account: z.object({ name: z.string() }), reasons: z.array(z.unknown()) }),
    ),
  }),
})

/** The change that makes the batch late from which most promised beer is to come. */
async function lateBatch() {
  const runs = await client.fillRun.groupBy({
    by: ['batchId'],
    where: { distributorId: DEMO_ID, batchId: { not: null }, plan: { status: 'IN_FORCE' } },
    _sum: { quantity: true },
    orderBy: { _sum: { quantity: 'desc' } },
  })
  const id = encodeGlobalId('Batch', runs[0]?.batchId ?? '')
  return { batch: { id }, readyAt: `${addDays(today, 20)}T16:00:00Z` }
}

test('a batch that is late moves decisions and puts promises at risk: the answer has both, with the accounts and why', async () => {
  const input = await lateBatch()
  const { changeBatch } = shape.parse(await data(CHANGE, { input }))
  const { moved, dropped, added } = changeBatch.moved
  expect(moved.length + dropped.length + added.length).toBeGreaterThan(0)
  const news = changeBatch.atRisk.filter(({ isNew }) => isNew)
  expect(news.length).toBeGreaterThan(0)
  for (const { account, reasons } of news)
    expect([account.name, reasons.length > 0]).toEqual([expect.any(String), true])
  expect(faults).toEqual([])
})

test('a key that may set up, but not read plans and orders, is answered what it wrote and neither of the two', async () => {
  const owner = { client, clock, distributorId: DEMO_ID }
  const { key } = await createApiKey(owner, new Set(['setup:write'] as const), {
    name: 'set-up alone',
    scopes: ['setup:write'],
  })
  const { data: answer, errors } = await ask(CHANGE, { input: await lateBatch() }, { key })
  expect(answer?.changeBatch).toMatchObject({ batch: { readyAt: expect.any(String) }, moved: null, atRisk: null })
  expect(errors?.map(({ path }) => path?.at(-1)).sort()).toEqual(['atRisk', 'moved'])
})
