// One size of the growth part, in a process of its own, so that the memory measured is that of this size alone:
//   node --import tsx tools/bench/one-size.ts lines vessels days seconds
// Prints one JSON object.
import { sizedProblem } from '../../seeds/sized-problem.ts'
import { mostMemory } from './own-process.ts'
import { Report } from './part.ts'
import { timedPlan, warmUp } from './timed-plan.ts'

const [lines = 200, vessels = 6, days = 90, seconds = 0] = process.argv.slice(2).map(Number)
const report = new Report(false, () => {})
warmUp(sizedProblem({ lines: 200, vessels: 6, days, seed: 99 }))
const problem = sizedProblem({ lines, vessels, days, seed: 1 })
// Where it is short, the time of one is chance: the middle of three.
const firsts = Array.from({ length: lines <= 2000 ? 3 : 1 }, () => timedPlan(report, `${lines}, first`, problem, 0))
const first = firsts.sort((a, b) => a.firstMs - b.firstMs)[Math.floor(firsts.length / 2)]!
const improved = seconds > 0 ? timedPlan(report, `${lines} lines, ${seconds} s`, problem, seconds) : first
process.stdout.write(
  `${JSON.stringify({
    firstMs: first.firstMs,
    totalMs: first.totalMs,
    firstCost: first.cost,
    cost: improved.cost,
    steps: improved.steps,
    maxRssMiB: mostMemory(),
    plans: report.plans,
    faults: report.faults,
  })}\n`,
)
