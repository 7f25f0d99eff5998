// Growth instances: of the stated size, valid, the same for each seed, and loaded as asked.
import { describe, expect, it } from 'vitest'
import { largeScenario } from '../../seeds/large.ts'
import { sizedProblem } from '../../seeds/sized-problem.ts'
import { parseProblem } from '../../src/planner/index.ts'

describe('sized problems', () => {
  it.each([
    [60, 6, 42],
    [200, 10, 60],
    [1000, 40, 90],
  ])('have %d lines, %d vessels and %d days, and are valid at every tightness', (lines, vessels, days) => {
    for (const tightness of [0.6, 0.85, 1.1]) {
      const problem = sizedProblem({ lines, vessels, days, seed: 5, tightness })
      expect(parseProblem(problem)).toMatchObject({ ok: true })
      expect(problem.orderLines).toHaveLength(lines)
      expect(problem.vessels).toHaveLength(vessels)
      expect(problem.horizonDays).toBe(days)
      expect(problem.batches.length).toBeGreaterThan(0)
      expect(problem.stock.length).toBeGreaterThan(0)
      for (const line of problem.orderLines) expect(line.quantity).toBeLessThanOrEqual(20)
    }
  })

  it('are the same for the same seed', () => {
    const options = { lines: 200, vessels: 10, days: 60, seed: 9 }
    expect(sizedProblem(options)).toStrictEqual(sizedProblem(options))
    expect(sizedProblem(options)).not.toStrictEqual(sizedProblem({ ...options, seed: 10 }))
  })

  it('have less room the tighter they are', () => {
    const litres = (tightness: number) =>
      sizedProblem({ lines: 200, vessels: 10, days: 60, seed: 2, tightness }).vessels.reduce(
        (sum, vessel) => sum + vessel.capacityLitres,
        0,
      )
    expect(litres(0.6)).toBeGreaterThan(litres(0.85))
    expect(litres(0.85)).toBeGreaterThan(litres(1.1))
  })

  it('make a large scenario of 5,000 lines, 100 vessels, 90 days, valid and the same for the same day', () => {
    const { problem, names } = largeScenario('2027-03-01')
    expect(problem.orderLines).toHaveLength(5000)
    expect(problem.vessels).toHaveLength(100)
    expect(problem.sites).toHaveLength(4)
    expect(parseProblem(problem)).toMatchObject({ ok: true })
    expect(Object.keys(names.accounts ?? {})).toHaveLength(problem.accounts.length)
    expect(largeScenario('2027-03-01').problem).toStrictEqual(problem)
  })
})
