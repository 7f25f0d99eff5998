// The days on which lines may be served, and whether they are.
import type { Trial, TrialAnswer } from '../../planner/index.ts'
import type { OrderLine } from '../../planner/problem.ts'

/** Whether all that the line asks for is served. */
export function isWhole({ served, quantity }: TrialAnswer): boolean {
  return served === quantity
}

/**
 * The lines with the earliest day on which each can wholly be served beside the others as its `latestServeOn`. A
 * line that cannot be served at all stays as it is.
 */
export function atTheEarliest(trial: Trial, lines: readonly OrderLine[]): OrderLine[] {
  const answers = trial.promise([...lines], { unexplained: true })
  return lines.map((line, index) => {
    const answer = answers[index]
    return answer?.serveOn && isWhole(answer) ? { ...line, latestServeOn: answer.serveOn } : line
  })
}
