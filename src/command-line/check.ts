// npm run check -- problem.json plan.json: the independent checker on a plan. Exit code 0 and its cost for a valid
// plan, 1 and the violations for one that breaks a rule, 2 for documents that cannot be used.
import { COST_TERMS } from '../planner/documents/index.ts'
import { checkPlan, type PlanCost, type Violation } from '../planner/index.ts'
import { readArguments } from './arguments.ts'
import { type Command, runAsProgram } from './command.ts'
import { readPlan, readProblem } from './documents.ts'

/** Prints whether the plan of a problem is valid, and what it costs or breaks. */
export const check: Command = async (words, { out }) => {
  const { files } = readArguments(words, 'Usage: npm run check -- problem.json plan.json', 2, [])
  const [problemPath = '', planPath = ''] = files
  const problem = readProblem(problemPath)
  const { violations, cost } = checkPlan(problem, readPlan(planPath, problem))
  const valid = violations.length === 0
  out(valid ? `Valid. ${costLine(cost)}\n` : `${violationLines(violations).join('\n')}\n`)
  return valid ? 0 : 1
}

await runAsProgram(import.meta.url, check)

function costLine({ total, terms }: PlanCost): string {
  const parts = COST_TERMS.filter((term) => terms[term] !== 0).map((term) => `${term} ${terms[term].toFixed(2)}`)
  return parts.length === 0 ? 'Cost 0.' : `Cost ${total.toFixed(2)}: ${parts.join(', ')}.`
}

function violationLines(found: readonly Violation[]): string[] {
  const count = found.length === 1 ? '1 violation' : `${found.length} violations`
  return [
    `Not valid: ${count}.`,
    ...found.map(({ rule, day, message }) => `  ${[rule, day, message].filter(Boolean).join('  ')}`),
  ]
}
