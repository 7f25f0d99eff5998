import { expect, test } from 'vitest'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { serviceOf } from '../../../src/planner/facts/service.ts'
import { makePlan } from '../../../src/planner/index.ts'

test.each([1, 2, 3, 4])('litres on time, late and unserved make up those that are wanted (problem %i)', (seed) => {
  const problem = randomProblem(seed, 'MIXED')
  const { plan } = makePlan(problem, { steps: 20 })
  const service = serviceOf(problem, plan)
  const { litresOnTime, litresLate, litresUnserved, litresWanted } = service
  expect(litresOnTime + litresLate + litresUnserved).toBeCloseTo(litresWanted, 6)
  const amiss = new Set([...plan.unserved, ...(plan.late ?? [])].map(({ orderLineId }) => orderLineId))
  expect(service.linesOnTime).toBe(problem.orderLines.length - amiss.size)
  expect(service.linesUnserved).toBe(plan.unserved.length)
  expect(service.linesOnTime + service.linesLate + service.linesUnserved).toBe(service.lines)
  expect(service.brokenPromises).toBe(plan.brokenPromises?.length)
})

test('every litre is unserved where nothing is delivered', () => {
  const problem = randomProblem(1, 'MIXED')
  const { plan } = makePlan(problem, { steps: 0 })
  const service = serviceOf(problem, { ...plan, deliveries: [], brews: [], dumped: [] })
  expect(service).toMatchObject({
    litresOnTime: 0,
    litresLate: 0,
    litresUnserved: service.litresWanted,
    linesOnTime: 0,
    brews: 0,
  })
})
