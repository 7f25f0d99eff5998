// The mapping of published instances, on instances small enough to be solved here by hand or by trying every order. The
// published files themselves are not part of the project.
import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { Problem } from '../../src/planner/documents/index.ts'
import { parseProblem } from '../../src/planner/index.ts'
import { solveExactly } from '../../src/solver/solve-exactly.ts'
import { lotSizing } from '../../tools/benchmarks/lot-sizing.ts'
import { lotSizingValues, publishedFolder, tardinessValues } from '../../tools/benchmarks/published.ts'
import { type Job, tardinessJobs, weightedTardiness } from '../../tools/benchmarks/weighted-tardiness.ts'

async function optimum(problem: Problem): Promise<number> {
  expect(parseProblem(problem)).toMatchObject({ ok: true })
  const { status, cost } = await solveExactly(problem, { timeLimitSeconds: 20 })
  expect(status).toBe('OPTIMAL')
  return cost
}

/** The least total weighted tardiness of any order of the jobs. */
function leastTardiness(jobs: readonly Job[], start = 0): number {
  if (jobs.length === 0) return 0
  const totals = jobs.map(({ processing, weight, due }, first) => {
    const end = start + processing
    return weight * Math.max(0, end - due) + leastTardiness(jobs.toSpliced(first, 1), end)
  })
  return Math.min(...totals)
}

describe('weighted tardiness', () => {
  // Two instances of four jobs: processing times, weights, due dates.
  const text = ' 3 2 4 1\n 5 1 3 2\n 4 2 5 0\n 2 5 1 3\n 1 4 9 2\n 0 6 2 30\n'

  it('is the late term of the mapped problem: as little as the best of all orders', async () => {
    for (const index of [0, 1]) {
      const least = leastTardiness(tardinessJobs(text, index, 4))
      expect(least).toBeGreaterThan(0)
      expect(await optimum(weightedTardiness(text, index, 4))).toBeCloseTo(least, 4)
    }
  })

  it('refuses an instance that the file does not have', () => {
    expect(() => weightedTardiness(text, 2, 4)).toThrow(RangeError)
  })
})

describe('capacitated lot sizing', () => {
  const header = (capacity: number, items: string[]) => `${items.length} 3\n1\n${capacity}\n${items.join('\n')}\n`

  it('weighs set-ups against holding (one item, worked out by hand)', async () => {
    // Demands 30, 40, 50; a set-up 100, holding 1 a period. Filling all at once: 100 + 40 + 2 × 50 = 240; in periods 1
    // and 3: 200 + 40 = 240; in 1 and 2: 200 + 50 = 250; in each: 300.
    expect(await optimum(lotSizing(`${header(999, ['1 1 0 100'])}30\n40\n50\n`))).toBeCloseTo(240, 4)
  })

  it('keeps to the capacity, set-up times included (worked out by hand)', async () => {
    // 70 minutes a period, 10 of them for a set-up: 60 at most. 60, 60, 0 holds 30 and then 50: 200 + 80 = 280. Three
    // set-ups cost 300 and need not hold anything; one cannot fill all 120.
    expect(await optimum(lotSizing(`${header(70, ['1 1 10 100'])}30\n40\n50\n`))).toBeCloseTo(280, 4)
  })

  it('shares the capacity between items, and skips what is not demanded', async () => {
    // Item 2 fills 20 in period 2 (set-up 7) beside the only lot of item 1; nothing needs to be held.
    const text = `${header(50, ['1 2 0 10', '1 3 0 7'])}0 0\n30 20\n0 0\nhi su\n`
    expect(await optimum(lotSizing(text))).toBeCloseTo(17, 4)
  })
})

describe('published values', () => {
  it('are read in the order of the instances, and by name', () => {
    expect(tardinessValues(' 913\n 1225\n')).toEqual([913, 1225])
    expect(lotSizingValues('relative gap 1e-6: F1 40854, F10 31208 |')).toEqual([
      { name: 'F1', value: 40854 },
      { name: 'F10', value: 31208 },
    ])
  })

  it('are skipped where their folder is absent', () => {
    expect(publishedFolder(mkdtempSync(join(tmpdir(), 'no-instances-')))).toBeUndefined()
  })
})
