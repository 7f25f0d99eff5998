// In time: who allows so many seconds has the answer after them. The whole call is timed, as the server makes it and as a command.
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { demoScenario } from '../../../seeds/demo.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { parsePlan } from '../../../src/planner/index.ts'
import { planWithBound } from '../../../src/solver/plan-with-bound.ts'
import type { Part, Report } from '../part.ts'

const DEMO_DAY = '2027-03-01'
/** The demo, and problems of so many lines. */
const PROBLEMS: readonly { name: string; make: () => Problem }[] = [
  { name: 'the demo', make: () => demoScenario(DEMO_DAY).problem },
  ...[
    { lines: 200, vessels: 10, days: 60 },
    { lines: 1000, vessels: 40, days: 60 },
    { lines: 5000, vessels: 100, days: 60 },
  ].map((size) => ({ name: `${size.lines} lines`, make: () => sizedProblem({ ...size, seed: 1, tightness: 0.85 }) })),
]

/** How often each is planned. */
const TIMES = 3
/** How much longer than what it allows a planner waits at most, in seconds. */
const OVER = 0.5

export const inTime: Part = {
  name: 'in-time',
  about: 'seconds until the answer, from reading the problem to checking the plan, where five are allowed',
  async run(report) {
    const seconds = report.quick ? 1 : 5
    const rows = []
    const took: number[] = []
    for (const { name, make } of report.quick ? PROBLEMS.slice(0, 1) : PROBLEMS) {
      const problem = make()
      const called: number[] = []
      const commands: number[] = []
      const steps: number[] = []
      for (let time = 0; time < (report.quick ? 1 : TIMES); time++) {
        const started = performance.now()
        const { plan, statistics } = await planWithBound(problem, { seconds })
        called.push((performance.now() - started) / 1000)
        steps.push(statistics.steps)
        report.check(name, problem, plan)
        commands.push(commanded(report, name, problem, seconds))
      }
      took.push(...called, ...commands)
      const range = (all: number[], digits: number) =>
        `${Math.min(...all).toFixed(digits)} to ${Math.max(...all).toFixed(digits)}`
      rows.push([name, range(called, 2), range(commands, 2), range(steps, 0)])
    }
    report.table(['problem', 'called, s', 'as a command, s', 'steps of the call'], rows)
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
