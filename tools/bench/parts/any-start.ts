// Any start: small problems from five seeds each, as a planner who allows one second gets them, and once in ten seconds: how far above
// the best known cost do they end, and of how many is it proven that no plan costs less?
import { smallProblem } from '../../../seeds/small-problem.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { costTolerance } from '../../../src/planner/documents/tolerances.ts'
import { parseProblem } from '../../../src/planner/index.ts'
import { type BoundedPlan, planWithBound } from '../../../src/solver/plan-with-bound.ts'
import { number, type Part, percent, type Report } from '../part.ts'
import bestKnown from '../starts/best-known.json' with { type: 'json' }
import { hardProblems } from '../starts/work.ts'
import { mean } from '../statistics.ts'

/** Generated problems, by their seeds: of 6 to 15 lines. */
const GENERATED = Array.from({ length: 60 }, (_, index) => index + 1)

interface Small {
  name: string
  problem: Problem
  /** The least that a valid plan is known to cost, if any is known. */
  known: number | undefined
}

export const anyStart: Part = {
  name: 'any-start',
  about: 'small problems from five seeds in a second each, and once in ten: how near the best known, and proven?',
  async run(report) {
    const { short, long, seeds } = report.quick ? { short: 0.5, long: 3, seeds: 2 } : { short: 1, long: 10, seeds: 5 }
    const all = problems(report)
    const rows = []
    const gaps: number[] = []
    const last: number[] = []
    let unproven = 0
    for (const { name, problem, known } of report.quick ? all.slice(0, 2) : all) {
      const plan = (seconds: number, seed: number) => planned(report, name, problem, seconds, seed)
      const best = await plan(long, 1)
      const quick = []
      for (let seed = 1; seed <= seeds; seed++) quick.push(await plan(short, seed))
      const costs = quick.map(({ plan: { cost } }) => cost.total)
      const least = Math.min(best.plan.cost.total, ...costs, known ?? Number.POSITIVE_INFINITY)
      for (const { bound } of [best, ...quick])
        if (bound && bound.value > least + costTolerance(least))
          report.fault(`${name}: a bound of ${bound.value}, above a plan that costs ${least}`)
      const above = (cost: number) => (cost <= least + costTolerance(least) ? 0 : cost / least - 1)
      const each = costs.map(above)
      gaps.push(...each)
      last.push(above(best.plan.cost.total))
      if (best.bound?.kind !== 'EXACT') unproven++
      rows.push([
        name,
        problem.orderLines.length,
        number(least),
        percent(mean(each)),
        percent(Math.max(...each)),
        quick.filter(({ bound }) => bound?.kind === 'EXACT').length,
        percent(above(best.plan.cost.total)),
        best.bound?.kind ?? '–',
      ])
    }
    const [s, l] = [`${short} s`, `${long} s`]
    report.table(['problem', 'lines', 'best known', `${s}, mean`, 'worst', 'proven', l, 'bound found by'], rows)
    report.goal(`mean in ${s}`, mean(gaps), 0.003, percent)
    report.goal(`worst in ${s}`, Math.max(...gaps), 0.02, percent)
    report.goal(`worst in ${l}`, Math.max(...last), 0.005, percent)
    report.goal(`share not proven in ${l}`, unproven / rows.length, 0.2, percent)
  },
}

/** The hard problems, where their folder is named, and the generated ones. */
function problems(report: Report): Small[] {
  const hard = hardProblems(report.options.folder)
  if (hard.length === 0) report.say('Without the hard problems: name the folder of the instances by --folder.')
  const known: Record<string, number> = bestKnown
  return [
    ...hard.map(({ name, best, document }) => ({ name, known: best, problem: parsed(document) })),
    ...GENERATED.map((seed) => ({ name: `small ${seed}`, known: known[`small ${seed}`], problem: smallProblem(seed) })),
  ]
}

async function planned(
  report: Report,
  name: string,
  problem: Problem,
  seconds: number,
  seed: number,
): Promise<BoundedPlan> {
  const found = await planWithBound(problem, { seconds, seed })
  report.check(`${name}, seed ${seed}, ${seconds} s`, problem, found.plan)
  return found
}

function parsed(document: unknown): Problem {
  const read = parseProblem(document)
  if (!read.ok) throw new Error('a problem of the folder has faults')
  return read.problem
}
