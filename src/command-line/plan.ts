// npm run plan -- problem.json: the planner alone on one file. The plan goes to the standard output or a file and
// nothing else does; progress is a line on a terminal's error output. Exit code 2 for a document with faults.
import { writeFileSync } from 'node:fs'
import { makePlan, type Progress } from '../planner/index.ts'
import { numberOption, readArguments } from './arguments.ts'
import { readProblem, refuse } from './documents.ts'

const USAGE = 'Usage: npm run plan -- problem.json [--out plan.json] [--seconds S | --steps N] [--seed N]'
const { files, option } = readArguments(USAGE, 1, ['out', 'seconds', 'steps', 'seed'])
const seconds = numberOption('seconds', option('seconds'), 0, false)
const steps = numberOption('steps', option('steps'), 0, true)
const seed = numberOption('seed', option('seed'), 0, true)
if (seconds !== undefined && steps !== undefined) refuse(`Give either --seconds or --steps, not both. ${USAGE}`)

const problem = readProblem(files[0])
const started = performance.now()
const passed = () => (performance.now() - started) / 1000
const { plan } = makePlan(problem, {
  seed,
  steps,
  ...(seconds === undefined ? {} : { elapsed: () => (seconds === 0 ? 1 : passed() / seconds) }),
  onProgress: showProgress,
})
if (process.stderr.isTTY) process.stderr.write('\n')
const text = `${JSON.stringify(plan, null, 2)}\n`
const out = option('out')
if (out === undefined) process.stdout.write(text)
else writeFileSync(out, text)

function showProgress({ steps: done, bestCost }: Progress): void {
  if (process.stderr.isTTY) {
    process.stderr.write(`\r\u001b[K${done} steps, cost ${bestCost.toFixed(2)}, ${passed().toFixed(1)} s`)
  }
}
