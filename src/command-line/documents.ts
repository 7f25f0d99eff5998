// What the commands share: reading problem and plan documents, and saying what is wrong with them. A document that
// cannot be read or has faults ends the command with exit code 2 and every fault on the error output.
import { readFileSync } from 'node:fs'
import type { Fault, Plan, Problem } from '../planner/documents/index.ts'
import { parsePlan, parseProblem } from '../planner/index.ts'

/** Exit code for unusable input: bad arguments, a file that cannot be read, a document with faults. */
export const UNUSABLE = 2

/** Reads and parses a problem document; prints what is wrong and exits with 2 where it cannot. */
export function readProblem(path: string): Problem {
  const parsed = parseProblem(readJson(path))
  return parsed.ok ? parsed.problem : refuseFaulty(path, parsed.faults)
}

/** Reads and parses a plan document for a problem; prints what is wrong and exits with 2 where it cannot. */
export function readPlan(path: string, problem: Problem): Plan {
  const parsed = parsePlan(readJson(path), problem)
  return parsed.ok ? parsed.plan : refuseFaulty(path, parsed.faults)
}

/** Reads a JSON file; prints why it cannot be read and exits with 2 where that is so. */
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

/** Prints every fault of a document and exits with 2. */
export function refuseFaulty(path: string, faults: readonly Fault[]): never {
  return refuse(faultLines(path, faults).join('\n'))
}

/** Prints a message on the error output and exits with 2. */
export function refuse(message: string): never {
  process.stderr.write(`${message}\n`)
  process.exit(UNUSABLE)
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
