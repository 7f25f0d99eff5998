// npm run plan -- problem.json: the planner alone on one file. The plan goes to the standard output or a file and nothing
// else does; the error output has progress (on a terminal) and at last the cost and how cheap any plan can be at best.
// Exit code 2 for a document with faults. The seconds are counted from the start of the process.
import { writeFileSync } from 'node:fs'
import { costInParts, gapOf, type Unavoidable } from '../planner/index.ts'
import { type BoundedPlan, planWithBound } from '../solver/plan-with-bound.ts'
import { NO_PLAN_COSTS_LESS, progressWords } from '../solver/progress.ts'
import { mayBeProven } from '../solver/prove.ts'
import { instant } from '../solver/search-here.ts'
import { unavoidableInWords } from '../words/unavoidable-words.ts'
import { numberOption, readArguments } from './arguments.ts'
import { type Command, refuse, runAsProgram } from './command.ts'
import { readProblem } from './documents.ts'

/** Seconds given to lower bounds that need the solver, where they are asked for. */
const BOUND_SECONDS = 30
/** Most searches side by side. */
const MOST_THREADS = 64
/** Clears the line of a terminal. */
const CLEAR = '\r\u001b[K'

const USAGE =
  'Usage: npm run plan -- problem.json [--out plan.json] [--seconds S | --steps N] [--seed N] [--bound] [--threads N]'

/** Makes a plan for a problem and prints or writes it. */
export const plan: Command = async (words, { out, error, watched, since = instant() }) => {
  const names = ['out', 'seconds', 'steps', 'seed', 'threads'] as const
  const { files, option, flag } = readArguments(words, USAGE, 1, names, ['bound'])
  const seconds = numberOption('seconds', option('seconds'), { least: 0 })
  const steps = numberOption('steps', option('steps'), { least: 0, whole: true })
  const seed = numberOption('seed', option('seed'), { least: 0, whole: true })
  const threads = numberOption('threads', option('threads'), { least: 1, most: MOST_THREADS, whole: true })
  if (seconds !== undefined && steps !== undefined) refuse(`Give either --seconds or --steps, not both. ${USAGE}`)

  const [path = ''] = files
  const problem = readProblem(path)
  const proven = seconds !== undefined && mayBeProven(problem)
  const made = await planWithBound(
    problem,
    { seed, steps, seconds, since },
    {
      threads,
      boundSeconds: flag('bound') ? BOUND_SECONDS : proven ? seconds : 0,
      onProgress: (progress) => {
        if (watched) error(`${CLEAR}${progressWords(progress)}`)
      },
    },
  )
  if (watched) error(CLEAR)
  const text = `${JSON.stringify(made.plan, null, 2)}\n`
  const file = option('out')
  if (file === undefined) out(text)
  else write(file, text)
  error(boundLines(made))
  return 0
}

await runAsProgram(import.meta.url, plan)

function write(path: string, text: string): void {
  try {
    writeFileSync(path, text)
  } catch (error) {
    refuse(`${path} cannot be written: ${error instanceof Error ? error.message : String(error)}`)
  }
}

/** What the plan costs, and how cheap any plan can be at best. */
function boundLines({ plan, bound, unavoidable, boundFault }: BoundedPlan): string {
  const { total } = plan.cost
  const best =
    bound?.kind === 'EXACT'
      ? NO_PLAN_COSTS_LESS
      : bound
        ? `lower bound ${bound.value.toFixed(2)} (${bound.kind}), gap ${(gapOf(total, bound.value) * 100).toFixed(2)} %`
        : 'no lower bound'
  const fault = boundFault === undefined ? '' : `A better lower bound could not be found: ${String(boundFault)}\n`
  const why = bound && unavoidable ? explained(unavoidable, total, bound.value) : []
  return `${[`Cost ${total.toFixed(2)}, ${best}`, ...why].join('\n')}\n${fault}`
}

/** What explains the bound; things are called by their ids, for a file has no names. */
function explained(unavoidable: Unavoidable, cost: number, lowerBound: number): string[] {
  const names = { beer: (id: string) => `beer ${id}`, orderLine: (id: string) => `line ${id}` }
  return unavoidableInWords(unavoidable, costInParts(unavoidable, cost, lowerBound), names)
}
