// Bounds: how much of the cost of large plans is proven to be unavoidable, in the seconds in which they are made.
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { gapOf } from '../../../src/planner/index.ts'
import { planWithBound } from '../../../src/solver/plan-with-bound.ts'
import { number, type Part, percent } from '../part.ts'

/** Problems of so many lines, with the gap that they shall have at most, where there is such a goal. */
const KINDS = [
  { name: '1,000 easy', lines: 1000, vessels: 40, tightness: 0.6, most: 0.06 },
  { name: '1,000 tight', lines: 1000, vessels: 40, tightness: 0.85, most: 0.12 },
  { name: '5,000 easy', lines: 5000, vessels: 100, tightness: 0.6 },
  { name: '5,000 tight', lines: 5000, vessels: 100, tightness: 0.85 },
] as const

export const bounds: Part = {
  name: 'bounds',
  about: 'large plans made in thirty seconds: what any plan costs at least, and how far theirs is above it',
  async run(report) {
    const seconds = report.quick ? 3 : 30
    const rows = []
    const goals: (() => void)[] = []
    for (const kind of report.quick ? KINDS.slice(0, 1) : KINDS) {
      const { name, lines, vessels, tightness } = kind
      const problem = sizedProblem({ lines, vessels, days: 60, seed: 1, tightness })
      const { plan, bound, boundFault } = await planWithBound(problem, { seconds })
      report.check(name, problem, plan)
      if (!bound || boundFault !== undefined) throw new Error(`no bound of ${name}: ${String(boundFault)}`)
      const gap = gapOf(plan.cost.total, bound.value)
      rows.push([name, number(plan.cost.total), number(bound.value), bound.kind, percent(gap)])
      if ('most' in kind) goals.push(() => report.goal(name, gap, kind.most, percent))
    }
    report.table(['problem', `cost in ${seconds} s`, 'at least', 'found by', 'gap'], rows)
    for (const each of goals) each()
  },
}
