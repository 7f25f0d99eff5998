// Lines that were tried out in a plan, to be promised just what they were answered: they need not be placed a second time.
import type { OrderLine } from '../documents/problem.ts'
import type { Placement } from '../model/batch.ts'
import type { TrialAnswer } from './trial-answer.ts'

/** How lines are served when inserted into the plan as it stands. */
export interface TrialResult {
  lines: readonly OrderLine[]
  /** In the order of the lines. */
  answers: TrialAnswer[]
  /** By id of the line. */
  placements: Map<string, Placement>
}

/**
 * How these lines would be served, where each was tried just so and is now promised the day that was answered, which
 * is also the last on which it may be served: asked with these days, the planner answers the same. Undefined where one is
 * asked for otherwise.
 */
export function asPromised(tried: TrialResult, lines: readonly OrderLine[]): TrialResult | undefined {
  if (lines.length !== tried.lines.length) return undefined
  const answers: TrialAnswer[] = []
  for (const [index, line] of lines.entries()) {
    const [asked, answer] = [tried.lines[index], tried.answers[index]]
    if (!asked || !answer || !isPromised(line, asked, answer)) return undefined
    answers.push({ ...answer, onTime: true })
  }
  return { lines, answers, placements: tried.placements }
}

function isPromised(line: OrderLine, asked: OrderLine, { served, quantity, serveOn }: TrialAnswer): boolean {
  return (
    served === quantity &&
    line.promisedOn === serveOn &&
    line.latestServeOn === serveOn &&
    line.id === asked.id &&
    line.accountId === asked.accountId &&
    line.packId === asked.packId &&
    line.quantity === asked.quantity &&
    line.serveOn === asked.serveOn &&
    line.splittable === asked.splittable
  )
}
