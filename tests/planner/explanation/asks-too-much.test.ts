// What binds a line that asks for more than there could ever be: how much it asks for, not routes or days on sale.
import { expect, test } from 'vitest'
import { demoScenario } from '../../../seeds/demo.ts'
import { addDays, lineWithDefaults } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { carryForward } from '../../../src/planner/live/carry-forward.ts'

test('nine hundred thousand firkins are more than brewery and routes could ever give, and that is said', () => {
  const { problem } = demoScenario('2027-03-01')
  const { plan } = makePlan(problem, { steps: 0 })
  const { trial } = carryForward({ ...problem, baseline: plan }, plan)
  const pack = problem.beers[0]?.packs[0]?.id ?? ''
  const account = problem.accounts[0]?.id ?? ''
  const serveOn = addDays(problem.today, 20)
  const line = { id: 'x', orderId: 'x', accountId: account, packId: pack, quantity: 900_000, serveOn }
  const [answer] = trial.promise([lineWithDefaults(line)])
  expect(answer?.limits[0]).toMatchObject({ rule: 'A3', code: 'ASKS_TOO_MUCH' })
})
