// Small problems against their proven optimum: how far from it is one second of search?
import { smallProblem, tinyProblem } from '../../../seeds/small-problem.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { number, type Part, percent } from '../part.ts'
import { mean } from '../statistics.ts'
import { timedPlan, warmUp } from '../timed-plan.ts'

/** Costs that differ by less count as equal (the tolerance of the planning rules). */
const tolerance = (cost: number) => 0.01 + 1e-6 * cost

export const small: Part = {
  name: 'small',
  about: 'small problems (6–15 lines, 2–4 vessels) against their proven optimum, at one second of search',
  async run(report) {
    const { wanted, solverSeconds, seconds, problemOf } = report.quick
      ? { wanted: 4, solverSeconds: 5, seconds: 0.3, problemOf: tinyProblem }
      : { wanted: 24, solverSeconds: 90, seconds: 1, problemOf: smallProblem }
    warmUp(smallProblem(0))
    const rows = []
    const gaps: number[] = []
    const unproven: number[] = []
    for (let seed = 1; gaps.length < wanted && seed <= 2 * wanted; seed++) {
      const problem = problemOf(seed)
      const exact = await solveExactly(problem, { timeLimitSeconds: solverSeconds })
      if (exact.status !== 'OPTIMAL' || !exact.plan) {
        unproven.push(seed)
        continue
      }
      report.check(`small ${seed}, exact`, problem, exact.plan)
      const { cost, steps } = timedPlan(report, `small ${seed}`, problem, seconds)
      const over = cost - exact.cost
      if (over < -tolerance(exact.cost))
        report.fault(`small ${seed}: ${cost} is below the proven optimum ${exact.cost}`)
      const gap = Math.abs(over) <= tolerance(exact.cost) ? 0 : over / Math.max(1, exact.cost)
      gaps.push(gap)
      const { orderLines, vessels, horizonDays } = problem
      rows.push([
        seed,
        orderLines.length,
        vessels.length,
        horizonDays,
        number(exact.cost),
        number(cost),
        percent(gap),
        steps,
      ])
    }
    report.table(['seed', 'lines', 'vessels', 'days', 'optimum', `in ${seconds} s`, 'gap', 'steps'], rows)
    if (unproven.length > 0)
      report.say(
        `Left out, because HiGHS did not prove an optimum in ${solverSeconds} s: seeds ${unproven.join(', ')}.`,
      )
    if (gaps.length === 0) return report.say('No optimum was proven in time.')
    report.say(`${gaps.length} problems, ${gaps.filter((gap) => gap === 0).length} at the optimum.`)
    report.goal('mean gap', mean(gaps), 0.005, percent)
    report.goal('worst gap', Math.max(...gaps), 0.02, percent)
  },
}
