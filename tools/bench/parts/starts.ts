// Any start: does the search end at the best plan whatever the seed? Twelve seeds of a fixed number of steps each, so that no clock
// decides; beside another commit (--against) the same problems from the same seeds, compared in pairs.
import { costTolerance } from '../../../src/planner/documents/tolerances.ts'
import { parsePlan, parseProblem } from '../../../src/planner/index.ts'
import { HERE, runScript, withCheckout } from '../against/against.ts'
import { type Part, percent, type Report } from '../part.ts'
import { foundShape, type StartsWork, startsWork } from '../starts/work.ts'
import { mean } from '../statistics.ts'

const SCRIPT = 'tools/bench/starts/search-starts.ts'

export const starts: Part = {
  name: 'starts',
  about: 'distance from the best known cost over twelve seeds at fixed steps, and cheaper plans dropped as overdrawn',
  run(report) {
    const { work, hard } = startsWork(report.quick, report.options.folder)
    if (!hard) report.say('Without the hard problems: name the folder of the instances by --folder.')
    const { against } = report.options
    const here = searched(report, work, HERE)
    const rows = rowsOf(work, here)
    if (against === undefined) return report.table(head(''), rows)
    const there = withCheckout(against, (other) => searched(report, work, other))
    for (const [index, row] of rowsOf(work, there).entries())
      rows[index]?.push(...row.slice(1), pairsOf(work, index, here, there))
    report.table([...head(''), ...head(`${against} `).slice(1), 'better / worse'], rows)
  },
}

const head = (of: string) => ['problem', `${of}mean`, `${of}worst`, `${of}overdrawn`, `${of}seconds`]

/** What the seeds of one problem came to: shares above the best known cost, and sums. */
interface Searched {
  gaps: number[]
  overdrawn: number | undefined
  seconds: number
}

/** Every problem of the work, searched by the checkout at `root`; every plan goes through the checker of this one. */
function searched(report: Report, work: StartsWork, root: string): Map<string, Searched> {
  const found = foundShape.parse(runScript(SCRIPT, root, work))
  return new Map(
    work.problems.map(({ name, best, document }) => {
      const runs = found.filter((each) => each.name === name)
      const costs = runs.map(({ plan, seed }) => costOf(report, `${name}, seed ${seed}`, document, plan))
      const least = Math.min(...costs)
      if (least < best - costTolerance(best))
        report.say(`${name}: ${least.toFixed(2)} is better than the best known, ${best}.`)
      const counts = runs.flatMap(({ overdrawn }) => overdrawn ?? [])
      return [
        name,
        {
          gaps: costs.map((cost) => Math.max(0, cost / best - 1)),
          overdrawn: counts.length === runs.length ? counts.reduce((sum, count) => sum + count, 0) : undefined,
          seconds: runs.reduce((sum, { seconds }) => sum + seconds, 0),
        },
      ]
    }),
  )
}

function costOf(report: Report, name: string, document: unknown, plan: unknown): number {
  const problem = parseProblem(document)
  if (!problem.ok) throw new Error(`${name} is no problem`)
  const parsed = parsePlan(plan, problem.problem)
  if (!parsed.ok) throw new Error(`${name} is no problem with a plan`)
  report.check(name, problem.problem, parsed.plan)
  return parsed.plan.cost.total
}

function rowsOf({ problems }: StartsWork, results: ReadonlyMap<string, Searched>): string[][] {
  const each = problems.flatMap(({ name }) => results.get(name) ?? [])
  const rows = problems.flatMap(({ name }) => {
    const result = results.get(name)
    return result ? [rowOf(name, [result])] : []
  })
  return [...rows, rowOf('all', each)]
}

function rowOf(name: string, results: readonly Searched[]): string[] {
  const gaps = results.flatMap((each) => each.gaps)
  const counts = results.flatMap(({ overdrawn }) => overdrawn ?? [])
  const overdrawn = counts.length < results.length ? '–' : String(counts.reduce((sum, count) => sum + count, 0))
  const seconds = results.reduce((sum, each) => sum + each.seconds, 0)
  return [name, percent(mean(gaps)), percent(Math.max(...gaps)), overdrawn, seconds.toFixed(1)]
}

/** How many seeds end better and worse here than there; of all problems in the row after the last. */
function pairsOf(
  { problems }: StartsWork,
  row: number,
  here: ReadonlyMap<string, Searched>,
  there: ReadonlyMap<string, Searched>,
): string {
  const names = problems.slice(row < problems.length ? row : 0, row < problems.length ? row + 1 : undefined)
  const apart = names.flatMap(({ name }) => {
    const others = there.get(name)?.gaps ?? []
    return (here.get(name)?.gaps ?? []).map((gap, seed) => gap - (others[seed] ?? gap))
  })
  return `${apart.filter((gap) => gap < -1e-5).length} / ${apart.filter((gap) => gap > 1e-5).length}`
}
