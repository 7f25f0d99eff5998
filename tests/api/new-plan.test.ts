// Asking whether a new plan could keep a promise costs the server nothing where the key may not reserve.
import { expect, test } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'

const { ask, data, client, jobs, scenario } = await openTestApi({ planned: true })
const serveOn = addDays(scenario.problem.today, 10)
const asked = `promise(input: {
  account: { externalRef: "C-101" }, serveOn: "${serveOn}", lines: [{ pack: { externalRef: "DEC-KEG30" }, quantity: 2 }]
})`
const KNOWN = '{ state id message alternative { offerToken } limits { message } }'

test('a key that reads only begins no search, and reads what others began', async () => {
  expect(await data(`{ ${asked} { allOnTime newPlan ${KNOWN} } }`, {}, 'planner')).toMatchObject({
    promise: { allOnTime: false, newPlan: { state: 'NOT_SOUGHT', id: null } },
  })
  expect(await client.job.count({ where: { kind: 'SEARCH_NEW_PLAN' } })).toBe(0)
  // No one who does not ask whether a new plan could has one looked for.
  await data(`{ ${asked} { allOnTime summary alternatives { kind } } }`, {}, 'sales')
  expect(await client.newPlanSearch.count()).toBe(0)
  expect(await data(`{ ${asked} { newPlan ${KNOWN} } }`, {}, 'sales')).toMatchObject({
    promise: { newPlan: { state: 'SEARCHING' } },
  })
  await jobs.settled()
  expect(await data(`{ ${asked} { newPlan ${KNOWN} } }`, {}, 'planner')).toMatchObject({
    promise: { newPlan: { state: 'FOUND', limits: [], alternative: { offerToken: expect.any(String) } } },
  })
})

test('a search that there is not is not found, and the mutation needs a key that may reserve', async () => {
  const { errors } = await ask('{ newPlanSearch(id: "none") { state } }', {}, 'sales')
  expect(errors?.[0]?.extensions).toMatchObject({ code: 'NO_SUCH_THING' })
  const mutation = 'mutation { reserveWithNewPlan(input: { offerToken: "x" }) { __typename } }'
  expect((await ask(mutation, {}, 'planner')).data).toEqual({ reserveWithNewPlan: { __typename: 'Forbidden' } })
})
