// One site of the demo by itself is a whole brewery.
import { expect, test } from 'vitest'
import { oneSite } from '../../seeds/demo/one-site.ts'
import { demoScenario } from '../../seeds/demo.ts'
import { parseProblem } from '../../src/planner/index.ts'

const whole = demoScenario('2027-03-01')

test.each(['mossrake', 'hithelow'])('%s alone has all that its own orders need', (siteId) => {
  const { problem } = oneSite(whole, siteId)
  expect(parseProblem(JSON.parse(JSON.stringify(problem)))).toMatchObject({ ok: true })
  expect(problem.sites.map(({ id }) => id)).toEqual([siteId])
  for (const list of [problem.vessels, problem.batches, problem.stock, problem.fleets, problem.orderLines])
    expect(list.length).toBeGreaterThan(0)
})

test('every order line of the demo belongs to one of its sites', () => {
  const lines = whole.problem.sites.flatMap(({ id }) => oneSite(whole, id).problem.orderLines)
  expect(new Set(lines.map(({ id }) => id)).size).toBe(whole.problem.orderLines.length)
})
