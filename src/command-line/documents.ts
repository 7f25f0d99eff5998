// What the commands share: reading problem and plan documents, and saying what is wrong with them. A document that
// cannot be read or has faults ends the command with exit code 2 and every fault on the error output.
import { readFileSync } from 'node:fs'
import type { Fault, Plan, Problem } from '../planner/documents/index.ts'
import { parsePlan, parseProblem } from '../planner/index.ts'
import { refuse } from './command.ts'

/** Reads and parses a problem document; refuses with what is wrong where it cannot. */
export function readProblem(path: string): Problem {
  const parsed = parseProblem(readJson(path))
  return parsed.ok ? parsed.problem : refuseFaulty(path, parsed.faults)
}

/** Reads and parses a plan document for a problem; refuses with what is wrong where it cannot. */
export function readPlan(path: string, problem: Problem): Plan {
  const parsed = parsePlan(readJson(path), problem)
  return parsed.ok ? parsed.plan : refuseFaulty(path, parsed.faults)
}

/** Reads a JSON file; refuses with why it cannot be read where that is so. */
export function readJson(path: string): unknown {
  let text: string
  try {
    text = readFileSync(path, 'utf8')
  } catch (error) {
    return refuse(`${path} cannot be read: ${messageOf(error)}`)
  }
  try {
    // A byte order mark is no JSON, but some editors write one.
    return JSON.parse(text.replace(/^\uFEFF/, ''))
  } catch (error) {
    return refuse(`${path} is no JSON: ${messageOf(error)}`)
  }
}

/** Refuses a document with every fault of it. */
export function refuseFaulty(path: string, faults: readonly Fault[]): never {
  return refuse(faultLines(path, faults).join('\n'))
}

/** One line for each fault: where, under which code, what it is and what to do. */
export function faultLines(path: string, faults: readonly Fault[]): string[] {
  const count = faults.length === 1 ? '1 fault' : `${faults.length} faults`
  const lines = faults.map(
    (fault) => `  ${fault.code}  ${fault.path || '(the document)'}: ${fault.message}. ${fault.action}`,
  )
  return [`${path} has ${count}:`, ...lines]
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error)
}
