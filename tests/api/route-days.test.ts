// The routes of an account, times the days that plans reach, stay within what the planner keeps for each line, whichever of the two grows.
import { expect, test } from 'vitest'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { MOST_ROUTE_DAYS, routeDayFaults } from '../../src/resolvers/setup/route-days.ts'
import { openTestApi } from '../support/api.ts'

const { client, data, faults, revision } = await openTestApi()
const site = await client.site.findFirstOrThrow()

const ISSUES = '__typename ... on InvalidInput { issues { path code message } }'
const written = async (mutation: string, input: Record<string, unknown>) => {
  const type = `${mutation.charAt(0).toUpperCase()}${mutation.slice(1)}Input`
  return (await data(`mutation ($input: ${type}!) { written: ${mutation}(input: $input) { ${ISSUES} } }`, { input }))
    .written
}
const routes = Array.from({ length: 11 }, (_, n) => ({ externalRef: `DAILY-${n}` }))
const account = (externalRef: string, count: number) =>
  written('createAccount', { externalRef, name: 'Far and wide', routes: routes.slice(0, count) })
const refused = (path: string) => ({
  __typename: 'InvalidInput',
  issues: [{ path, code: 'TOO_MANY_ROUTE_DAYS', message: '11 routes on 400 days are 4,400, and at most 4,000 may be' }],
})

test('as many as there may be are right, and one more is not', () => {
  expect(routeDayFaults(10, MOST_ROUTE_DAYS / 10, 'routes')).toEqual([])
  expect(routeDayFaults(MOST_ROUTE_DAYS, 1, 'routes')).toEqual([])
  expect(routeDayFaults(MOST_ROUTE_DAYS + 1, 1, 'routes')).toMatchObject([{ path: 'routes' }])
})

test('plans that reach so far are refused where an account has too many routes, and routes where plans reach so far', async () => {
  for (const { externalRef } of routes)
    await written('createRoute', {
      ...{ externalRef, name: externalRef, site: { id: encodeGlobalId('Site', site.id) } },
      ...{ weekdays: [1, 2, 3, 4, 5, 6, 7], transitDays: 0 },
    })
  expect(await account('WIDE', 11)).toEqual({ __typename: 'AccountPayload' })
  const before = await revision()
  expect(await written('changeDistributor', { horizonDays: 400 })).toEqual(refused('horizonDays'))
  expect(await revision()).toBe(before)
  expect(await written('changeAccount', { account: { externalRef: 'WIDE' }, routes: routes.slice(0, 10) })).toEqual({
    __typename: 'AccountPayload',
  })
  expect(await written('changeDistributor', { horizonDays: 400 })).toEqual({ __typename: 'DistributorPayload' })
  expect(await account('WIDER', 11)).toEqual(refused('routes'))
  expect(await account('AS-WIDE', 10)).toEqual({ __typename: 'AccountPayload' })
  const scenario = (count: number) => {
    const change = { account: { account: { externalRef: 'WIDE' }, routes: routes.slice(0, count) } }
    return { scenarios: [{ name: 'Wider', changes: [change] }], effort: { steps: 1 } }
  }
  expect(await written('compare', scenario(11))).toEqual(refused('scenarios[0].changes[0].account.routes'))
  expect(await written('compare', scenario(10))).toEqual({ __typename: 'ComparePayload' })
  expect(faults).toEqual([])
})
