// The nearest earlier and the nearest later day on which all lines are on time; only late lines move where days differ.
import { addDays } from '../../planner/documents/index.ts'
import type { AlternativeKind, Candidate, PromiseQuestion, QuestionLine } from './promise-question.ts'

/** Days looked at, before and after the wanted one. */
const MOST_DAYS = 28

/** All lines moved by the same number of days; where they are wanted on several days, the late ones alone. */
export function otherDays(question: PromiseQuestion): Candidate[] {
  return [nearest(question, -1, 'EARLIER_DAY'), nearest(question, 1, 'LATER_DAY')].flatMap((found) => found ?? [])
}

function nearest(question: PromiseQuestion, sign: 1 | -1, kind: AlternativeKind): Candidate | undefined {
  const { lines, late, today, lastDay } = question
  const together = new Set(lines.map(({ serveOn }) => serveOn)).size === 1
  const moving = together ? lines : late
  for (let days = 1; days <= MOST_DAYS; days++) {
    const moved = lines.map(
      (line): QuestionLine => (moving.includes(line) ? { ...line, serveOn: addDays(line.serveOn, sign * days) } : line),
    )
    // Where a line is wanted no later than some day, no later day is offered.
    const within = moved.every(
      ({ serveOn, latestServeOn }) => serveOn >= today && serveOn <= (latestServeOn ?? lastDay) && serveOn <= lastDay,
    )
    if (!within) return undefined
    // Mostly it is a line that was late before that is late again.
    const stillLate = moved.some((line, index) => late.includes(lines[index] ?? line) && !question.onTime([line]))
    if (!stillLate && question.onTime(moved))
      return { kind, lines: moved, instead: [...moving], distance: 1 + days / 2 }
  }
  return undefined
}
