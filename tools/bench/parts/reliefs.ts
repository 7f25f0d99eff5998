// Reliefs on overloaded problems: is each one shown true? The planner, asked again with it applied, must serve its line on
// time and leave everyone else as the plan has them; with one unit less it must not.
import { randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import type { Plan, Problem, Reason } from '../../../src/planner/documents/index.ts'
import { makePlan, servedWith } from '../../../src/planner/index.ts'
import type { Part, Report } from '../part.ts'

interface Tally {
  shown: number
  /** Serve the line on time in a plan that the checker accepts. */
  serve: number
  /** Would have someone else served otherwise than before. */
  push: number
  /** Are not the smallest: one unit less would do. */
  lessServes: number
}

export const reliefs: Part = {
  name: 'reliefs',
  about: '100 overloaded problems: each relief shown, applied, serves its line on time; one unit less does not',
  run(report) {
    const count = report.quick ? 6 : 100
    const steps = report.quick ? 100 : 1000
    const tallies = new Map<string, Tally>()
    let explained = 0
    let relieved = 0
    for (let seed = 1; seed <= count; seed++) {
      const problem = overloaded(seed)
      const { plan } = makePlan(problem, { steps })
      report.check(`overloaded ${seed}`, problem, plan)
      const reasons = new Map([...plan.unserved, ...(plan.late ?? [])].map((each) => [each.orderLineId, each.reasons]))
      for (const [lineId, listed] of reasons) {
        explained++
        const shown = listed.filter(({ relief }) => relief !== undefined)
        if (shown.length > 0) relieved++
        for (const reason of shown)
          judge(report, tallies, `overloaded ${seed}, ${lineId}`, problem, plan, lineId, reason)
      }
    }
    report.table(
      ['relief', 'shown', 'serve on time', 'move another line', 'one unit less serves too'],
      [...tallies].map(([what, { shown, serve, push, lessServes }]) => [what, shown, serve, push, lessServes]),
    )
    report.say(`${explained} lines late or not wholly served, ${relieved} of them with a relief.`)
    const all = [...tallies.values()]
    const missing = all.reduce((total, { shown, serve }) => total + shown - serve, 0)
    report.goal('reliefs that do not serve', missing, 0, String)
    report.goal('reliefs that move another line', sum(all, 'push'), 0, String)
    report.goal('reliefs that are not the smallest', sum(all, 'lessServes'), 0, String)
  },
}

/** In turn: a house that takes on far more than it can do, and a random problem of the overloaded kind. */
function overloaded(seed: number): Problem {
  if (seed % 2 === 0) return randomProblem(seed, 'OVERLOAD')
  return sizedProblem({ lines: 20 + (seed % 5) * 10, vessels: 4 + (seed % 3), days: 35, seed, tightness: 1.3 })
}

function judge(
  report: Report,
  tallies: Map<string, Tally>,
  name: string,
  problem: Problem,
  plan: Plan,
  lineId: string,
  reason: Reason,
): void {
  const { relief } = reason
  if (!relief) return
  const tally = tallies.get(relief.what) ?? { shown: 0, serve: 0, push: 0, lessServes: 0 }
  tallies.set(relief.what, tally)
  tally.shown++
  const relieved = servedWith(problem, plan, lineId, reason)
  if (relieved) {
    report.check(name, relieved.problem, relieved.plan)
    if (servesOnTime(relieved.problem, relieved.plan, lineId)) tally.serve++
    if (othersOf(relieved.plan, lineId) !== othersOf(plan, lineId)) tally.push++
  }
  if (servedWith(problem, plan, lineId, { ...reason, relief: { ...relief, amount: relief.amount - 1 } })) {
    tally.lessServes++
    report.say(`${name}: ${relief.amount} ${relief.unit} (${relief.what}) is not the smallest.`)
  }
}

/** All of it, and none after the day that is asked for or promised. */
function servesOnTime(problem: Problem, plan: Plan, lineId: string): boolean {
  const line = problem.orderLines.find(({ id }) => id === lineId)
  if (!line) return false
  const { quantity, serveOn, promisedOn = serveOn } = line
  const own = plan.deliveries.filter(({ orderLineId }) => orderLineId === lineId)
  const served = own.flatMap(({ from }) => from).reduce((total, from) => total + from.quantity, 0)
  return served === quantity && own.every((delivery) => delivery.serveOn <= promisedOn)
}

/** What every other line gets, from what and when. */
function othersOf(plan: Plan, lineId: string): string {
  const others = plan.deliveries.filter(({ orderLineId }) => orderLineId !== lineId)
  return others
    .map((delivery) => JSON.stringify(delivery))
    .sort()
    .join()
}

function sum(list: readonly Tally[], key: keyof Tally): number {
  return list.reduce((total, each) => total + each[key], 0)
}
