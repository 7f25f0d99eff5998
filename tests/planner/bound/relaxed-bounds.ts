// The relaxation's bounds with buckets of any width, for tests.
import { expect } from 'vitest'
import { cautious } from '../../../src/planner/bound/bound.ts'
import { instantValue, priceOfShared } from '../../../src/planner/bound/instant-bound.ts'
import type { LinearModel } from '../../../src/planner/bound/linear-model.ts'
import { siteParts, wholePart } from '../../../src/planner/bound/parts.ts'
import { relaxationOf } from '../../../src/planner/bound/relaxation.ts'
import { safeDualBound } from '../../../src/planner/bound/safe-dual-bound.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { solveLinear } from '../../../src/solver/solve-linear.ts'

/** The cost of a plan with the tolerance with which the planning rules compare costs. */
export const above = (cost: number) => cost + 0.01 + 1e-6 * cost

/** The linear relaxation's bound, from its multipliers. */
export async function aggregatedBound(problem: Problem, bucketDays: number): Promise<number> {
  return cautious(await dualBoundOf(relaxationOf(wholePart(problem), { wholeBrews: false, bucketDays })))
}

/** A bound on the optimum of a linear model. HiGHS takes none without rows. */
async function dualBoundOf(model: LinearModel): Promise<number> {
  if (model.rowCount === 0) return safeDualBound(model, new Float64Array())
  const { rowDuals, status } = await solveLinear(model, { seconds: 30 })
  expect(status).toBe('OPTIMAL')
  return safeDualBound(model, rowDuals!)
}

/** What lines that several sites can serve are priced at. */
export type SharedPrice = 'AS_ALWAYS' | 'NOTHING' | 'UNSERVED'

/** The sum over the sites: of their linear relaxations' bounds, and of what each line costs alone. */
export async function boundsBySite(
  problem: Problem,
  bucketDays: number,
  price: SharedPrice = 'AS_ALWAYS',
): Promise<{ aggregated: number; perLine: number }> {
  const whole = wholePart(problem)
  const fixed = price === 'NOTHING' ? 0 : Number.POSITIVE_INFINITY
  const parts = siteParts(whole, price === 'AS_ALWAYS' ? priceOfShared(whole) : () => fixed)
  let aggregated = 0
  for (const part of parts) aggregated += await dualBoundOf(relaxationOf(part, { wholeBrews: false, bucketDays }))
  return {
    aggregated: cautious(aggregated),
    perLine: cautious(parts.reduce((sum, part) => sum + instantValue(part), 0)),
  }
}

/** The bound with whole brews and lines, as far as HiGHS comes in time. */
export async function wholeBound(problem: Problem, bucketDays: number): Promise<number> {
  const model = relaxationOf(wholePart(problem), { wholeBrews: true, bucketDays })
  const { bound, status } = await solveLinear(model, { seconds: 10 })
  // A plan that does nothing is always one: a relaxation without a solution is wrong.
  expect(['OPTIMAL', 'LIMIT']).toContain(status)
  return cautious(bound)
}
