// Drafts that are asked for while others are being solved, through the API: short ones do not wait for long ones.
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { openTestApi } from '../support/api.ts'
import { WHOLE } from '../support/sampled.ts'

const { data, jobs, faults } = await openTestApi({ planned: true })
afterAll(() => jobs.stop())

const begun = z.object({ plan: z.object({ id: z.string() }) })
const draft = async (effort: object) => {
  const query = `mutation ($effort: EffortInput!) { draftPlan(input: { effort: $effort }) { ... on PlanPayload { plan { id } } } }`
  return begun.parse((await data(query, { effort }, 'planner')).draftPlan).plan.id
}
const statusOf = async (id: string) => {
  const { plan } = await data(`query ($id: ID!) { plan(id: $id) { status } }`, { id }, 'planner')
  return z.object({ status: z.string() }).parse(plan).status
}
const discard = (id: string, as: 'planner' | 'sales') =>
  data(
    `mutation ($id: ID!) { discardPlan(input: { id: $id }) { __typename
      ... on PlanPayload { plan { status } } ... on Forbidden { scope } ... on Conflict { code } } }`,
    { id },
    as,
  )

test.runIf(WHOLE)(
  'a short draft that is asked for after long ones is ready first, and the long ones can be discarded',
  async () => {
    const long = [await draft({ seconds: 300 }), await draft({ seconds: 300 }), await draft({ seconds: 300 })]
    const short = await draft({ seconds: 1 })
    while ((await statusOf(short)) === 'SOLVING') await wait(100)
    expect(await statusOf(short)).toBe('DRAFT')
    for (const id of long) expect(await statusOf(id)).toBe('SOLVING')
    for (const id of long)
      expect((await discard(id, 'planner')).discardPlan).toEqual({
        __typename: 'PlanPayload',
        plan: { status: 'DISCARDED' },
      })
    await jobs.settled()
    expect(faults).toEqual([])
  },
)

test('who may not write plans discards none, and the plan in force is not discarded', async () => {
  const { planInForce } = await data('{ planInForce { id } }', {}, 'planner')
  const { id } = z.object({ id: z.string() }).parse(planInForce)
  expect((await discard(id, 'sales')).discardPlan).toEqual({ __typename: 'Forbidden', scope: 'plan:write' })
  expect((await discard(id, 'planner')).discardPlan).toEqual({ __typename: 'Conflict', code: 'STATUS_FORBIDS' })
})
