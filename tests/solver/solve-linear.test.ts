// HiGHS on its own thread, against optima known from elsewhere.
import { expect, it } from 'vitest'
import { each, ModelBuilder } from '../../src/planner/bound/linear-model.ts'
import { solveLinear } from '../../src/solver/solve-linear.ts'

/** Chairs and tables of the example in the HiGHS package's README: optimum 1100 at 20 chairs and 10 tables. */
function workshop(whole: boolean) {
  const rows = new ModelBuilder()
  const chairs = rows.column({ cost: -30, whole })
  const tables = rows.column({ cost: -50, whole })
  rows.atMost(
    [
      [chairs, 1],
      [tables, 2],
    ],
    40,
  )
  rows.atMost(
    [
      [chairs, 2],
      [tables, 1],
    ],
    50,
  )
  rows.addOffset(1000)
  return rows.build()
}

it.each([false, true])('finds the optimum, its point and an equal bound (whole numbers: %s)', async (whole) => {
  const result = await solveLinear(workshop(whole), { seconds: 5 })
  expect(result.status).toBe('OPTIMAL')
  expect(result.objective).toBeCloseTo(-100, 6)
  expect(result.bound).toBeCloseTo(-100, 6)
  expect([...result.values!].map(Math.round)).toEqual([20, 10])
  expect(result.rowDuals === undefined).toBe(whole)
})

it('says when there is no solution', async () => {
  const rows = new ModelBuilder()
  const column = rows.column({ upper: 1 })
  rows.equal(each([column]), 2)
  expect((await solveLinear(rows.build(), { seconds: 5 })).status).toBe('INFEASIBLE')
})

it('starts from a point of which some columns are given', async () => {
  const heard: number[] = []
  const start = new Map([[0, 4]])
  const result = await solveLinear(workshop(true), { seconds: 5, start, onBound: (bound) => heard.push(bound) })
  expect(result.status).toBe('OPTIMAL')
  expect(result.objective).toBeCloseTo(-100, 6)
  for (const bound of heard) expect(bound).toBeLessThanOrEqual(-100 + 1e-6)
})

it('stops in time with a bound, and leaves this thread free meanwhile', async () => {
  // A market split instance (Cornuéjols and Dawande 1999): tiny, and out of reach of branch and bound.
  const rows = new ModelBuilder()
  let state = 1
  const next = () => {
    state = (state * 48_271) % 2_147_483_647
    return state % 100
  }
  const columns = Array.from({ length: 50 }, () => rows.binary())
  for (let row = 0; row < 6; row++) {
    const factors = columns.map(next)
    const half = Math.floor(factors.reduce((sum, factor) => sum + factor, 0) / 2)
    const [over, under] = [rows.column({ cost: 1 }), rows.column({ cost: 1 })]
    rows.equal([...columns.map((column, index) => [column, factors[index]!] as const), [over, 1], [under, -1]], half)
  }
  let ticks = 0
  const ticking = setInterval(() => ticks++, 50)
  const start = performance.now()
  const heard: number[] = []
  const result = await solveLinear(rows.build(), { seconds: 1, onBound: (bound) => heard.push(bound) })
  clearInterval(ticking)
  expect(result.status).toBe('LIMIT')
  expect(performance.now() - start).toBeLessThan(10_000)
  expect(ticks).toBeGreaterThan(5)
  expect(heard.length).toBeGreaterThan(0)
  expect(result.bound).toBeLessThanOrEqual(result.objective ?? Number.POSITIVE_INFINITY)
})

it('of a model in which there is nothing to decide, the cost is what is certain', async () => {
  const rows = new ModelBuilder()
  rows.addOffset(7)
  const result = await solveLinear(rows.build(), { seconds: 5 })
  expect(result).toMatchObject({ status: 'OPTIMAL', bound: 7, objective: 7 })
})
