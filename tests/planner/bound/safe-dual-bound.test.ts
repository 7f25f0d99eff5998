// Weak duality: any row multipliers give a lower bound on any feasible point; those of the optimum give the optimum.
import fc from 'fast-check'
import { expect, it } from 'vitest'
import { type LinearModel, ModelBuilder } from '../../../src/planner/bound/linear-model.ts'
import { safeDualBound } from '../../../src/planner/bound/safe-dual-bound.ts'
import { solveLinear } from '../../../src/solver/solve-linear.ts'

const size = 4
const number = fc.integer({ min: -9, max: 9 })
const row = fc.record({ factors: fc.array(number, { minLength: size, maxLength: size }), slack: fc.nat(5) })
const instance = fc.record({
  costs: fc.array(number, { minLength: size, maxLength: size }),
  point: fc.array(fc.nat(8), { minLength: size, maxLength: size }),
  rows: fc.array(row, { minLength: 1, maxLength: 5 }),
})

/** A model that the point satisfies: rows around its activity, columns from 0 to 10. */
function modelAround({
  costs,
  point,
  rows,
}: typeof instance extends fc.Arbitrary<infer Value> ? Value : never): LinearModel {
  const builder = new ModelBuilder()
  const columns = costs.map((cost) => builder.column({ upper: 10, cost }))
  for (const { factors, slack } of rows) {
    const activity = factors.reduce((sum, factor, index) => sum + factor * (point[index] ?? 0), 0)
    builder.row(
      columns.map((column, index) => [column, factors[index] ?? 0] as const),
      activity - slack,
      slack === 0 ? activity : Number.POSITIVE_INFINITY,
    )
  }
  return builder.build()
}

it('is below the cost of every feasible point, whatever the multipliers', () => {
  fc.assert(
    fc.property(
      instance,
      fc.array(fc.double({ min: -20, max: 20, noNaN: true }), { minLength: 5, maxLength: 5 }),
      (input, duals) => {
        const model = modelAround(input)
        const cost = input.costs.reduce((sum, each, index) => sum + each * (input.point[index] ?? 0), 0)
        expect(safeDualBound(model, Float64Array.from(duals))).toBeLessThanOrEqual(cost + 1e-6)
      },
    ),
  )
})

it('is the optimum with the multipliers of the optimum', async () => {
  for (const input of fc.sample(instance, { numRuns: 4, seed: 7 })) {
    const model = modelAround(input)
    const { objective, rowDuals } = await solveLinear(model, { seconds: 5 })
    expect(safeDualBound(model, rowDuals!)).toBeCloseTo(objective!, 5)
  }
})
