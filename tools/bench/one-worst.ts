// One size of the worst problems that the API lets in, in a process of its own:
//   node --import tsx tools/bench/one-worst.ts lines vessels days routes
// Prints one JSON object.
import { worstProblem } from '../../seeds/worst-problem.ts'
import type { OrderLine, Problem } from '../../src/planner/documents/index.ts'
import { openLivePlan, parseProblem } from '../../src/planner/index.ts'
import { mostMemory } from './own-process.ts'
import { Report } from './part.ts'
import { timedPlan, warmUp } from './timed-plan.ts'

/** Lines that are asked for one after the other. */
const ASKED = 40

const [lines = 1000, vessels = 40, days = 400, routes = 10] = process.argv.slice(2).map(Number)
const report = new Report(false, () => {})
warmUp(worstProblem({ lines: 50, vessels: 6, days: 60, routes, seed: 99 }))
const problem = worstProblem({ lines, vessels, days, routes, seed: 1 })
const name = `${lines} lines, ${routes} routes`
const parsed = parseProblem(problem)
if (!parsed.ok) throw new Error(`${name}: not a problem: ${JSON.stringify(parsed).slice(0, 1000)}`)
const { plan, firstMs, totalMs } = timedPlan(report, name, problem, 0)

const opening = performance.now()
const { trial } = openLivePlan(problem, plan)
const openMs = performance.now() - opening
const promiseMs = asked(problem).map((line) => {
  const started = performance.now()
  trial.promise([line])
  return performance.now() - started
})
process.stdout.write(
  `${JSON.stringify({
    ...{ firstMs, totalMs, openMs, promiseMs },
    unserved: plan.unserved.length,
    late: plan.late?.length ?? 0,
    maxRssMiB: mostMemory(),
    plans: report.plans,
    faults: report.faults,
  })}\n`,
)

/** Lines like those of the problem, without a promise, evenly among them. */
function asked({ orderLines }: Problem): OrderLine[] {
  return Array.from({ length: ASKED }, (_, index) => {
    const like = orderLines[Math.floor((index * orderLines.length) / ASKED)]!
    return { ...like, id: `asked-${index}`, orderId: 'asked', promisedOn: undefined }
  })
}
