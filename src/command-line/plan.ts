// npm run plan -- problem.json: the planner alone on one file. The plan goes to the standard output or a file and
// nothing else does; progress is a line on a terminal's error output. Exit code 2 for a document with faults.
import { writeFileSync } from 'node:fs'
import { makePlan } from '../planner/index.ts'
import type { Plan } from '../planner/problem.ts'
import { makePlanAside } from '../solver/make-plan-aside.ts'
import { relaxedBound } from '../solver/relaxed-bound.ts'
import { numberOption, readArguments } from './arguments.ts'
import { readProblem, refuse } from './documents.ts'

/** Seconds given to the lower bound, and lines up to which it counts whole brews. */
const BOUND_SECONDS = 10
const WHOLE_BREWS_UP_TO = 100

const USAGE =
  'Usage: npm run plan -- problem.json [--out plan.json] [--seconds S | --steps N] [--seed N] [--bound] [--threads N]'
const { files, option, flag } = readArguments(USAGE, 1, ['out', 'seconds', 'steps', 'seed', 'threads'], ['bound'])
const seconds = numberOption('seconds', option('seconds'), 0, false)
const steps = numberOption('steps', option('steps'), 0, true)
const seed = numberOption('seed', option('seed'), 0, true) ?? 1
const threads = numberOption('threads', option('threads'), 1, true) ?? 1
if (seconds !== undefined && steps !== undefined) refuse(`Give either --seconds or --steps, not both. ${USAGE}`)

const problem = readProblem(files[0])
const started = performance.now()
const passed = () => (performance.now() - started) / 1000
const plan = threads > 1 ? await planOnThreads() : planHere()
if (process.stderr.isTTY) process.stderr.write('\n')
const text = `${JSON.stringify(plan, null, 2)}\n`
const out = option('out')
if (out === undefined) process.stdout.write(text)
else writeFileSync(out, text)
if (flag('bound')) await tellBound()

function planHere(): Plan {
  const elapsed = seconds === undefined ? {} : { elapsed: () => (seconds === 0 ? 1 : passed() / seconds) }
  return makePlan(problem, { seed, steps, ...elapsed, onProgress: showProgress }).plan
}

/** One search for each thread, with the seeds from `seed` on; the cheapest plan, of equals the one of the first seed. */
async function planOnThreads(): Promise<Plan> {
  const searches = Array.from({ length: threads }, (_, thread) =>
    makePlanAside(problem, { seed: seed + thread, steps, seconds }, { onProgress: showProgress }),
  )
  const plans = (await Promise.all(searches)).map((outcome) => outcome.plan)
  return plans.reduce((best, each) => (each.cost.total < best.cost.total ? each : best))
}

/** How good the plan can be at most, on the error output. */
async function tellBound(): Promise<void> {
  const wholeBrews = problem.orderLines.length <= WHOLE_BREWS_UP_TO
  const { value, kind } = await relaxedBound(problem, { seconds: BOUND_SECONDS, wholeBrews })
  const { total } = plan.cost
  const gap = total > 0 ? ((total - value) / total) * 100 : 0
  process.stderr.write(`Cost ${total.toFixed(2)}, lower bound ${value.toFixed(2)} (${kind}), gap ${gap.toFixed(2)} %\n`)
}

function showProgress({ steps: done, bestCost }: { steps: number; bestCost: number }): void {
  if (process.stderr.isTTY) {
    process.stderr.write(`\r\u001b[K${done} steps, cost ${bestCost.toFixed(2)}, ${passed().toFixed(1)} s`)
  }
}
