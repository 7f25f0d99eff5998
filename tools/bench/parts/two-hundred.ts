// Two hundred lines: how soon there is a plan, how near five seconds come to a minute, and how much luck is in a seed.
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { milliseconds, number, type Part, percent } from '../part.ts'
import { percentile } from '../statistics.ts'
import { timedPlan, warmUp } from '../timed-plan.ts'

const TIGHTNESS = [
  { name: 'easy', tightness: 0.6, spread: 0.05 },
  { name: 'tight', tightness: 0.85, spread: 0.08 },
] as const

export const twoHundred: Part = {
  name: 'two-hundred',
  about: '200 lines, 10 vessels, 60 days: first plan, five seconds against sixty, spread over five seeds',
  run(report) {
    const { short, long } = report.quick ? { short: 1, long: 4 } : { short: 5, long: 60 }
    const seeds = report.quick ? [1, 2] : [1, 2, 3, 4, 5]
    const rows = []
    const goals: (() => void)[] = []
    for (const { name, tightness, spread } of TIGHTNESS) {
      const problem = sizedProblem({ lines: 200, vessels: 10, days: 60, seed: 1, tightness })
      warmUp(problem)
      const firsts = [1, 2, 3, 4, 5].map(() => timedPlan(report, `${name}, first plan`, problem, 0))
      const firstMs = percentile(
        firsts.map((each) => each.firstMs),
        0.5,
      )
      const checkedMs = percentile(
        firsts.map((each) => each.totalMs),
        0.5,
      )
      const shorts = seeds.map((seed) => timedPlan(report, `${name}, seed ${seed}`, problem, short, seed).cost)
      const best = timedPlan(report, `${name}, ${long} s`, problem, long).cost
      const least = Math.min(...shorts)
      const gap = shorts[0]! / best - 1
      const wide = (Math.max(...shorts) - least) / least
      rows.push([name, milliseconds(firstMs), milliseconds(checkedMs), number(firsts[0]!.cost), number(shorts[0]!)])
      rows.at(-1)!.push(number(best), percent(gap), percent(wide))
      goals.push(() => {
        report.goal(`${name}: first plan`, firstMs, 50, milliseconds)
        report.goal(`${name}: ${short} s over ${long} s`, gap, 0.03, percent)
        report.goal(`${name}: spread over ${seeds.length} seeds`, wide, spread, percent)
      })
    }
    const head = ['kind', 'first plan', 'explained and checked', 'its cost', `in ${short} s`, `in ${long} s`]
    report.table([...head, 'short over long', 'spread'], rows)
    for (const goal of goals) goal()
  },
}
