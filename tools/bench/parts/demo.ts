// Demo: how much of the cost of the demo's own plan no plan avoids, and for which beers and order lines.
import { demoScenario } from '../../../seeds/demo.ts'
import { costInParts, gapOf } from '../../../src/planner/index.ts'
import { planWithBound } from '../../../src/solver/plan-with-bound.ts'
import { unavoidableInWords } from '../../../src/words/unavoidable-words.ts'
import { number, type Part, percent } from '../part.ts'

/** Days on which the demo starts: on several weekdays, and before holidays. */
const DAYS = ['2026-11-30', '2026-12-03', '2026-12-05', '2026-12-22', '2027-05-05'] as const
const NAMES = { beer: (id: string) => id, orderLine: (id: string) => id }
/** The gap that it shall have at most. */
const MOST_GAP = 0.1

export const demo: Part = {
  name: 'demo',
  about: "the demo's plan made in thirty seconds on several days: what no plan avoids of its cost, and why",
  async run(report) {
    const seconds = report.quick ? 10 : 30
    const rows = []
    const said: string[] = []
    const gaps: number[] = []
    for (const day of report.quick ? DAYS.slice(0, 1) : DAYS) {
      const { problem } = demoScenario(day)
      const { plan, bound, unavoidable, boundFault } = await planWithBound(problem, { seconds })
      report.check(day, problem, plan)
      if (!bound || !unavoidable || boundFault !== undefined)
        throw new Error(`no bound of ${day}: ${String(boundFault)}`)
      const cost = plan.cost.total
      const parts = costInParts(unavoidable, cost, bound.value)
      const gap = gapOf(cost, bound.value)
      gaps.push(gap)
      const { ofBeers, together, open } = parts
      rows.push([day, number(cost), number(ofBeers), number(together), number(open), bound.kind, percent(gap)])
      if (said.length === 0) said.push(...unavoidableInWords(unavoidable, parts, NAMES))
    }
    const head = ['first day', `cost in ${seconds} s`, 'of beers', 'together', 'open', 'bound found by', 'gap']
    report.table(head, rows)
    for (const line of said) report.say(line)
    report.goal('largest gap', Math.max(...gaps), MOST_GAP, percent)
  },
}
