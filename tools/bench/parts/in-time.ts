// In time: who allows so many seconds has the answer after them. The whole call is timed, as the server makes it and as a command.
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { parsePlan } from '../../../src/planner/index.ts'
import { planWithBound } from '../../../src/solver/plan-with-bound.ts'
import type { Part, Report } from '../part.ts'

const SIZES = [
  { lines: 60, vessels: 6, days: 40 },
  { lines: 1000, vessels: 40, days: 60 },
  { lines: 5000, vessels: 100, days: 60 },
]
/** How much longer than what it allows a planner waits at most, in seconds. */
const OVER = 0.5

export const inTime: Part = {
  name: 'in-time',
  about:
    'seconds until the answer, where five are allowed: reading, first plans, explaining and checking are part of them',
  async run(report) {
    const seconds = report.quick ? 1 : 5
    const rows = []
    const took: number[] = []
    for (const size of report.quick ? SIZES.slice(0, 1) : SIZES) {
      const problem = sizedProblem({ ...size, seed: 1, tightness: 0.85 })
      const name = `${size.lines} lines`
      const started = performance.now()
      const { plan, statistics } = await planWithBound(problem, { seconds })
      const called = (performance.now() - started) / 1000
      report.check(name, problem, plan)
      const asCommand = commanded(report, name, problem, seconds)
      took.push(called, asCommand)
      rows.push([size.lines, called.toFixed(2), asCommand.toFixed(2), statistics.steps])
    }
    report.table(['lines', 'called, s', 'as a command, s', 'steps of the call'], rows)
    report.goal('the longest', Math.max(...took), seconds + OVER, (value) => `${value.toFixed(2)} s`)
  },
}

/** Seconds that the command takes from its start to its end; its plan goes to the checker. */
function commanded(report: Report, name: string, problem: Problem, seconds: number): number {
  const folder = mkdtempSync(join(tmpdir(), 'in-time-'))
  try {
    const [input, output] = [join(folder, 'problem.json'), join(folder, 'plan.json')]
    writeFileSync(input, JSON.stringify(problem))
    const words = ['--import', 'tsx', 'src/command-line/plan.ts', input, '--out', output, '--seconds', String(seconds)]
    const started = performance.now()
    const { status, stderr } = spawnSync(process.execPath, words, { encoding: 'utf8' })
    const took = (performance.now() - started) / 1000
    if (status !== 0) throw new Error(`the command ended with ${status}: ${stderr}`)
    const parsed = parsePlan(JSON.parse(readFileSync(output, 'utf8')), problem)
    if (!parsed.ok) throw new Error('the command wrote no plan')
    const { plan } = parsed
    report.check(`${name}, as a command`, problem, plan)
    return took
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
