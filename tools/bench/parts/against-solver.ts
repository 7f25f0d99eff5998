// Sixty lines: two seconds of search against what a general-purpose solver finds in a minute, in the same run.

import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { costTolerance } from '../../../src/planner/documents/tolerances.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { number, type Part, percent } from '../part.ts'
import { timedPlan, warmUp } from '../timed-plan.ts'

export const againstSolver: Part = {
  name: 'against-solver',
  about: '60 lines, 6 vessels, 42 days: two seconds of search against HiGHS after 60 seconds',
  async run(report) {
    const { seeds, solverSeconds, seconds } = report.quick
      ? { seeds: [1], solverSeconds: 15, seconds: 1 }
      : { seeds: [1, 2, 3], solverSeconds: 60, seconds: 2 }
    warmUp(sizedProblem({ lines: 60, vessels: 6, days: 42, seed: 99 }))
    const rows = []
    let worst = Number.NEGATIVE_INFINITY
    for (const seed of seeds) {
      const problem = sizedProblem({ lines: 60, vessels: 6, days: 42, seed })
      const ours = timedPlan(report, `60 lines, seed ${seed}`, problem, seconds)
      const exact = await solveExactly(problem, { timeLimitSeconds: solverSeconds })
      if (exact.plan) report.check(`60 lines, seed ${seed}, HiGHS`, problem, exact.plan)
      if (exact.bound > ours.cost + costTolerance(ours.cost))
        report.fault(`seed ${seed}: HiGHS claims a bound of ${exact.bound}, above a valid plan at ${ours.cost}`)
      const ratio = exact.plan ? ours.cost / exact.cost : 0
      worst = Math.max(worst, ratio)
      const bound = Math.max(0, exact.bound)
      const theirs = exact.plan ? number(exact.cost) : 'no plan'
      rows.push([seed, number(ours.cost), theirs, number(bound), exact.plan ? percent(ratio - 1) : '–'])
    }
    report.table(['seed', `search, ${seconds} s`, `HiGHS, ${solverSeconds} s`, 'its bound', 'search over HiGHS'], rows)
    report.goal('worst cost over that of HiGHS (0 where it found no plan)', worst, 1, number)
  },
}
