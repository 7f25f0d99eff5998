// A model that takes the options of its lines from another of the same problem is the one that would be compiled without.
import { expect, it } from 'vitest'
import { tinyProblem } from '../../../seeds/small-problem.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { compile } from '../../../src/planner/model/compile.ts'

const SEEDS = Array.from({ length: 30 }, (_, index) => index + 1)

it.each([0, 3])('gives each line the options that it has by itself, where %i days are frozen', (frozenDays) => {
  let shared = 0
  for (const seed of SEEDS) {
    const problem = { ...tinyProblem(seed), frozenDays }
    const { plan } = makePlan(problem, { steps: 0 })
    const first = compile(problem)
    const based = { ...problem, baseline: plan }
    const { lines } = compile(based, first)
    expect(lines).toEqual(compile(based).lines)
    shared += lines.filter(({ options }, index) => options === first.lines[index]?.options).length
  }
  expect(shared).toBeGreaterThan(SEEDS.length)
})
