// The earliest day on which lines can be served beside everything that a plan serves already.

import { dayNumber, localDateOf } from '../../planner/days.ts'
import type { Trial, TrialAnswer } from '../../planner/index.ts'
import type { OrderLine } from '../../planner/problem.ts'

const UNEXPLAINED = { unexplained: true }

/** Whether all that the line asks for is served. */
export function isWhole({ served, quantity }: TrialAnswer): boolean {
  return served === quantity
}

/** The lines, to be served on their serve days or not at all. */
export function onTimeOnly(lines: readonly OrderLine[]): OrderLine[] {
  return lines.map((line) => ({ ...line, latestServeOn: line.serveOn }))
}

/**
 * The lines with the earliest day on which each can wholly be served as its `latestServeOn`; earlier lines go first. A
 * line that cannot be served at all stays as it is.
 */
export function atTheEarliest(trial: Trial, lines: readonly OrderLine[]): OrderLine[] {
  const strict = onTimeOnly(lines)
  if (trial.promise(strict, UNEXPLAINED).every(isWhole)) return strict
  const settled: OrderLine[] = []
  for (const line of lines) settled.push(earliest(trial, settled, line))
  return settled
}

function earliest(trial: Trial, before: readonly OrderLine[], line: OrderLine): OrderLine {
  const servedBy = (latestServeOn: string | undefined): number | undefined => {
    const answer = trial.promise([...before, { ...line, latestServeOn }], UNEXPLAINED).at(-1)
    return answer?.serveOn && isWhole(answer) ? dayNumber(answer.serveOn) : undefined
  }
  const wanted = dayNumber(line.serveOn)
  let day = servedBy(line.serveOn) ?? servedBy(line.latestServeOn)
  if (day === undefined) return line
  let tooEarly = wanted
  while (day > tooEarly + 1) {
    const between = Math.floor((tooEarly + day) / 2)
    const served = servedBy(localDateOf(between))
    if (served === undefined) tooEarly = between
    else day = served
  }
  return { ...line, latestServeOn: localDateOf(Math.max(day, wanted)) }
}
