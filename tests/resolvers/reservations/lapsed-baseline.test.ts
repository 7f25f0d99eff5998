// Between the end of a reservation and the next write its rows are still there: a plan that is made meanwhile has a baseline
// without it, which keeps all rules.
import { expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { checkPlan } from '../../../src/planner/index.ts'
import { loadProblem } from '../../../src/records/load-problem.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { ACCOUNT, Brewery, PACK } from '../../model/brewery.ts'
import { openTestDatabase } from '../../support/database.ts'

const TODAY = '2027-03-01'
const START = Date.parse(`${TODAY}T06:00:00Z`)

test.each([
  ['of the last casks', 40, 6],
  ['of a brew of its own', 18, 20],
  ['of two brews', 44, 24],
])('a baseline without a reservation %s that ran out is a valid plan', async (words, quantity, days) => {
  const { client, ...rest } = await openTestDatabase()
  const brewery = await Brewery.open({ client, ...rest }, words, START)
  const { actor } = brewery
  const serveOn = addDays(TODAY, days)
  await reserveBeer(actor, { account: ACCOUNT, serveOn, lines: [{ pack: PACK, quantity }], minutes: 10 })
  brewery.setClock(START + 11 * 60_000)
  const { problem } = await client.$transaction((tx) =>
    loadProblem(tx, actor.distributorId, { today: TODAY, at: actor.clock.now() }),
  )
  expect(problem.orderLines).toEqual([])
  const { baseline } = problem
  expect(baseline && checkPlan(problem, baseline).violations).toEqual([])
})
