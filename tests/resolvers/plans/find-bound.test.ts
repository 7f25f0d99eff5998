// Bounds that queries ask for are found in turn with all other work in the background, once for each plan and revision.
import { expect, test } from 'vitest'
import { DEMO_ID, openTestApi } from '../../support/api.ts'

const { client, data, jobs, faults } = await openTestApi({ planned: true })
const QUERY = '{ planInForce { id costTotal lowerBound boundKind gap } }'
const boundJobs = () => client.job.findMany({ where: { kind: 'FIND_BOUND' }, orderBy: { createdAt: 'asc' } })

test('many who ask at once begin one search, and one more begins only at another revision', async () => {
  await Promise.all(Array.from({ length: 10 }, () => data(QUERY)))
  expect(await boundJobs()).toHaveLength(1)
  await jobs.settled()
  expect(await data(QUERY)).toMatchObject({ planInForce: { lowerBound: expect.any(Number), gap: expect.any(Number) } })
  expect(await boundJobs()).toMatchObject([{ state: 'DONE' }])
})

test('a search that waits until the records have moved on ends without any work', async () => {
  const { id } = await client.plan.findFirstOrThrow({ where: { status: 'IN_FORCE' } })
  await client.plan.updateMany({ where: { id }, data: { lowerBound: null, boundKind: null, gap: null } })
  await client.job.deleteMany({ where: { kind: 'FIND_BOUND' } })
  const asked = data(QUERY)
  // The records move on before the job is begun: no question is about them as they were any more.
  await client.distributor.update({ where: { id: DEMO_ID }, data: { revision: { increment: 1 } } })
  await asked
  await client.distributor.update({ where: { id: DEMO_ID }, data: { revision: { increment: 1 } } })
  await jobs.settled()
  expect(await client.plan.count({ where: { id, lowerBound: null } })).toBe(1)
})

test('what is past has the bound that is stored or none, and begins nothing', async () => {
  await client.job.deleteMany({ where: { kind: 'FIND_BOUND' } })
  await client.plan.updateMany({
    data: { status: 'PAST', replacedAt: new Date(), lowerBound: null, boundKind: null, gap: null },
  })
  const past = await data('{ plans(first: 200) { edges { node { status lowerBound boundKind gap } } } }')
  expect(past).toEqual({
    plans: { edges: [{ node: { status: 'PAST', lowerBound: null, boundKind: null, gap: null } }] },
  })
  expect(await boundJobs()).toEqual([])
  expect(faults).toEqual([])
})
