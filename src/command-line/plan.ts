// npm run plan -- problem.json: the planner alone on one file. The plan goes to the standard output or a file and nothing
// else does; the error output has progress (on a terminal) and at last the cost and how cheap any plan can be at best.
// Exit code 2 for a document with faults.
import { writeFileSync } from 'node:fs'
import { gapOf } from '../planner/index.ts'
import { planWithBound } from '../solver/plan-with-bound.ts'
import { type PlanProgress, progressWords } from '../solver/progress.ts'
import { numberOption, readArguments } from './arguments.ts'
import { readProblem, refuse } from './documents.ts'

/** Seconds given to lower bounds that need the solver, where they are asked for. */
const BOUND_SECONDS = 10
/** Most searches side by side. */
const MOST_THREADS = 64

const USAGE =
  'Usage: npm run plan -- problem.json [--out plan.json] [--seconds S | --steps N] [--seed N] [--bound] [--threads N]'
const { files, option, flag } = readArguments(USAGE, 1, ['out', 'seconds', 'steps', 'seed', 'threads'], ['bound'])
const seconds = numberOption('seconds', option('seconds'), { least: 0 })
const steps = numberOption('steps', option('steps'), { least: 0, whole: true })
const seed = numberOption('seed', option('seed'), { least: 0, whole: true })
const threads = numberOption('threads', option('threads'), { least: 1, most: MOST_THREADS, whole: true })
if (seconds !== undefined && steps !== undefined) refuse(`Give either --seconds or --steps, not both. ${USAGE}`)

const [path = ''] = files
const problem = readProblem(path)
const boundSeconds = flag('bound') ? BOUND_SECONDS : 0
const { plan, bound, boundFault } = await planWithBound(
  problem,
  { seed, steps, seconds },
  { threads, boundSeconds, onProgress: showProgress },
)
clearProgress()
const text = `${JSON.stringify(plan, null, 2)}\n`
const out = option('out')
if (out === undefined) process.stdout.write(text)
else writeOut(out)
const { total } = plan.cost
const best = bound
  ? `lower bound ${bound.value.toFixed(2)} (${bound.kind}), gap ${(gapOf(total, bound.value) * 100).toFixed(2)} %`
  : 'no lower bound'
process.stderr.write(`Cost ${total.toFixed(2)}, ${best}\n`)
if (boundFault !== undefined) process.stderr.write(`A better lower bound could not be found: ${String(boundFault)}\n`)

function writeOut(path: string): void {
  try {
    writeFileSync(path, text)
  } catch (error) {
    refuse(`${path} cannot be written: ${error instanceof Error ? error.message : String(error)}`)
  }
}

function showProgress(progress: PlanProgress): void {
  if (process.stderr.isTTY) process.stderr.write(`\r\u001b[K${progressWords(progress)}`)
}

function clearProgress(): void {
  if (process.stderr.isTTY) process.stderr.write('\r\u001b[K')
}
