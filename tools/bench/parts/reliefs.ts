// Reliefs on overloaded problems: does each one shown, applied to the problem, serve its line on time? Does less not?
import { randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { makePlan, openTrial } from '../../../src/planner/index.ts'
import type { OrderLine, Plan, Problem, Reason } from '../../../src/planner/problem.ts'
import { applyRelief } from '../../../src/planner/relief/apply-relief.ts'
import { servedOnTime } from '../../../src/planner/relief/reopen.ts'
import type { Part, Report } from '../part.ts'

interface Tally {
  shown: number
  serve: number
  lessServes: number
  planned: number
}

export const reliefs: Part = {
  name: 'reliefs',
  about: '100 overloaded problems: each relief shown, applied, serves the line on time; one unit less does not',
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
      for (const { orderLineId, reasons } of [...plan.unserved, ...(plan.late ?? [])]) {
        explained++
        const shown = reasons.filter(({ relief }) => relief !== undefined)
        if (shown.length > 0) relieved++
        for (const reason of shown) judge(report, tallies, `overloaded ${seed}`, { problem, plan, orderLineId, reason })
      }
    }
    report.table(
      ['relief', 'shown', 'serve on time', 'in a checked plan', 'one unit less serves too'],
      [...tallies].map(([what, { shown, serve, planned, lessServes }]) => [what, shown, serve, planned, lessServes]),
    )
    report.say(`${explained} lines late or not wholly served, ${relieved} of them with a relief.`)
    const all = [...tallies.values()]
    const missing = all.reduce((sum, { shown, serve }) => sum + shown - serve, 0)
    report.goal('reliefs that do not serve', missing, 0, String)
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
  about: { problem: Problem; plan: Plan; orderLineId: string; reason: Reason },
): void {
  const { problem, plan, orderLineId, reason } = about
  const { relief } = reason
  if (!relief) return
  const tally = tallies.get(relief.what) ?? { shown: 0, serve: 0, lessServes: 0, planned: 0 }
  tallies.set(relief.what, tally)
  tally.shown++
  const helped = applyRelief(problem, orderLineId, reason)
  if (servedOnTime(helped, plan, orderLineId)) tally.serve++
  if (plannedOnTime(report, name, helped, plan, orderLineId)) tally.planned++
  const less = applyRelief(problem, orderLineId, { ...reason, relief: { ...relief, amount: relief.amount - 1 } })
  if (servedOnTime(less, plan, orderLineId)) {
    tally.lessServes++
    report.say(`${name}, line ${orderLineId}: ${relief.amount} ${relief.unit} (${relief.what}) is not the smallest.`)
  }
}

/** Places the line as a new order beside what the plan serves, on time or not at all, and checks the plan that results. */
function plannedOnTime(report: Report, name: string, problem: Problem, plan: Plan, lineId: string): boolean {
  const line = problem.orderLines.find(({ id }) => id === lineId)
  if (!line) return false
  const others: Problem = { ...problem, orderLines: problem.orderLines.filter((each) => each !== line) }
  const trial = openTrial({ ...others, frozenDays: 0 }, withoutLine(plan, lineId))
  const { answers, plan: grown } = trial.commit([onTimeOrNever(line)])
  const based: Problem = { ...problem, frozenDays: 0, baseline: withoutLine(plan, lineId) }
  const lines = problem.orderLines.map((each) => (each === line ? onTimeOrNever(line) : each))
  report.check(`${name}, ${lineId}`, { ...based, orderLines: lines }, grown)
  return answers[0]?.onTime === true
}

function onTimeOrNever(line: OrderLine): OrderLine {
  const { serveOn, promisedOn = serveOn } = line
  return { ...line, latestServeOn: [serveOn, promisedOn].sort()[1] }
}

/** The plan without the line's deliveries and the containers that were filled for them. */
function withoutLine(plan: Plan, lineId: string): Plan {
  const given = new Map<string, number>()
  for (const { orderLineId, from } of plan.deliveries) {
    if (orderLineId !== lineId) continue
    for (const { fillRunId = '', quantity } of from) given.set(fillRunId, (given.get(fillRunId) ?? 0) + quantity)
  }
  const runs = plan.fillRuns.map((run) => ({ ...run, quantity: run.quantity - (given.get(run.id) ?? 0) }))
  return {
    ...plan,
    deliveries: plan.deliveries.filter((each) => each.orderLineId !== lineId),
    fillRuns: runs.filter(({ quantity }) => quantity > 0),
  }
}

function sum(list: readonly Tally[], key: keyof Tally): number {
  return list.reduce((total, each) => total + each[key], 0)
}
