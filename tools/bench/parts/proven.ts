// Proven: of how many small problems is it shown in ten seconds that no plan costs less, and how far are the others?
import { smallProblem } from '../../../seeds/small-problem.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { gapOf, parseProblem } from '../../../src/planner/index.ts'
import { planWithBound } from '../../../src/solver/plan-with-bound.ts'
import { number, type Part, percent } from '../part.ts'
import { hardProblems } from '../starts/work.ts'
import { mean } from '../statistics.ts'

/** Generated problems, by their seeds: of 7 to 15 lines. */
const SEEDS = Array.from({ length: 20 }, (_, index) => index + 1)

export const proven: Part = {
  name: 'proven',
  about: 'small problems (up to 15 lines) in ten seconds: is it proven that no plan costs less, and what gap is left?',
  async run(report) {
    const seconds = report.quick ? 3 : 10
    const hard = hardProblems(report.options.folder)
    if (hard.length === 0) report.say('Without the hard problems: name the folder of the instances by --folder.')
    const all = [
      ...hard.map(({ name, best, document }) => ({ name, best, problem: parsed(document) })),
      ...SEEDS.map((seed) => ({ name: `small ${seed}`, best: undefined, problem: smallProblem(seed) })),
    ]
    const rows = []
    const gaps: number[] = []
    let unproven = 0
    for (const { name, best, problem } of report.quick ? all.slice(0, 2) : all) {
      const started = performance.now()
      const { plan, bound } = await planWithBound(problem, { seconds })
      const took = (performance.now() - started) / 1000
      const cost = plan.cost.total
      report.check(name, problem, plan)
      if (best !== undefined && bound && bound.value > best + 0.01 + 1e-6 * best)
        report.fault(`${name}: a bound of ${bound.value}, above a plan that costs ${best}`)
      const gap = gapOf(cost, bound?.value ?? 0)
      gaps.push(gap)
      if (bound?.kind !== 'EXACT') unproven++
      const lines = problem.orderLines.length
      rows.push([
        name,
        lines,
        number(cost),
        number(bound?.value ?? 0),
        bound?.kind ?? '–',
        percent(gap),
        took.toFixed(1),
      ])
    }
    report.table(['problem', 'lines', 'cost', 'bound', 'its kind', 'gap', 'seconds'], rows)
    report.say(`${gaps.length - unproven} of ${gaps.length} proven; mean gap ${percent(mean(gaps))}.`)
    report.goal('share not proven', unproven / gaps.length, 0.2, percent)
  },
}

function parsed(document: unknown): Problem {
  const read = parseProblem(document)
  if (!read.ok) throw new Error('a problem of the folder has faults')
  return read.problem
}
