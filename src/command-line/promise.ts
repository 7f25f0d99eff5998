// npm run promise -- problem.json plan.json line.json: the trial placement alone. Prints the answer for one order line
// (or a list of lines, placed together) in the plan as it stands, and how long the placement took.
import { dayWords, type OrderLine, type Problem } from '../planner/documents/index.ts'
import { openTrial, parseProblem } from '../planner/index.ts'
import { reasonInWords } from '../words/reason-words.ts'
import { readArguments } from './arguments.ts'
import { type Command, refuse, runAsProgram } from './command.ts'
import { readJson, readPlan, readProblem, refuseFaulty } from './documents.ts'

/** Prints what the plan of a problem can promise for a line, as JSON. */
export const promise: Command = async (words, { out }) => {
  const { files } = readArguments(words, 'Usage: npm run promise -- problem.json plan.json line.json', 3, [])
  const [problemPath = '', planPath = '', linePath = ''] = files
  const problem = readProblem(problemPath)
  const plan = readPlan(planPath, problem)
  const lines = readLines(linePath, problem)
  const trial = openTrial(problem, plan, { wishesGiveWay: true })
  const started = performance.now()
  const found = trial.promise(lines)
  const milliseconds = performance.now() - started
  // The names of things are their ids in these documents.
  const naming = { name: ({ id }: { id: string }) => id, day: dayWords }
  const answers = found.map((answer) => ({
    ...answer,
    limits: answer.limits.map((limit) => ({ ...limit, message: reasonInWords(limit, naming) })),
  }))
  out(`${JSON.stringify({ answers, gaveWay: trial.gaveWay(lines), milliseconds }, null, 2)}\n`)
  return 0
}

await runAsProgram(import.meta.url, promise)

/** Lines that the problem does not have yet; parsed as if they were in it, so that every fault is listed. */
function readLines(path: string, problem: Problem): OrderLine[] {
  const document = readJson(path)
  const list: unknown[] = Array.isArray(document) ? document : [document]
  if (list.length === 0) return refuse(`${path} has no order line.`)
  const before = problem.orderLines.length
  const parsed = parseProblem({ ...problem, orderLines: [...problem.orderLines, ...list] })
  if (parsed.ok) return parsed.problem.orderLines.slice(before)
  const own = parsed.faults.map((fault) => ({
    ...fault,
    path: fault.path.replace(/^orderLines\[(\d+)\]/, (_, index) => `lines[${Number(index) - before}]`),
  }))
  return refuseFaulty(path, own)
}
