// As many as can be of some lines beside others that keep their days: what can be had of a question that cannot be had whole.
import type { LocalDate } from '../../planner/documents/index.ts'
import { MOST_LINES } from '../orders/shapes.ts'
import type { PromiseQuestion, QuestionLine } from './promise-question.ts'
import { isWhole } from './whole.ts'

/** Lines placed at most in one search. */
const MOST_PLACED = 500

/** Where so many lines have been looked at, the others are looked at only while nothing has been found. */
const MOST_LOOKED_AT = 20

/** Lines that can be had together, each by a day. */
export interface AsMany {
  /** In no particular order; `latestServeOn` is the day by which a line is served. */
  lines: QuestionLine[]
  /** Whether lines were passed over because enough had been tried. */
  unfinished: boolean
}

/** The line, to be served by a day. */
export function boundTo(line: QuestionLine, day: LocalDate): QuestionLine {
  return { ...line, latestServeOn: day }
}

/** Those of the lines that are wholly served when they are placed together, without the others. */
export function servedTogether(question: PromiseQuestion, lines: readonly QuestionLine[]): QuestionLine[] {
  let kept = [...lines]
  while (kept.length > 0) {
    const answers = question.place(kept)
    const still = kept.filter((_, index) => answers[index] && isWhole(answers[index]))
    if (still.length === kept.length) break
    kept = still
  }
  return kept
}

/**
 * The lines of `kept`, which can be had together, and beside them the greatest quantity of each of `more`, earlier ones first,
 * each in at most so many deliveries. Where anything of `more` can be had by itself and `kept` is empty, something is found.
 */
export function asManyBeside(
  question: PromiseQuestion,
  kept: readonly QuestionLine[],
  more: readonly QuestionLine[],
  { deliveries }: { deliveries: number },
): AsMany {
  const found = [...kept]
  let unfinished = false
  let left = MOST_PLACED
  const beside = (line: QuestionLine): QuestionLine | undefined => {
    left -= found.length + 1
    const answers = question.place([...found, line])
    const day = answers.at(-1)?.serveOn
    return day && answers.every(isWhole) ? boundTo(line, day) : undefined
  }
  for (const [index, line] of more.entries()) {
    if (found.length > 0 && (index >= MOST_LOOKED_AT || left < 0 || found.length >= MOST_LINES)) {
      unfinished = true
      break
    }
    let missing = line.quantity
    for (let times = 0; times < deliveries && missing > 0 && found.length < MOST_LINES; times++) {
      const most = maxBeside(question, { ...line, quantity: missing }, beside, () => left > 0)
      if (most.unfinished) unfinished = true
      if (!most.line) break
      found.push(most.line)
      missing -= most.line.quantity
      if (missing > 0 && times === deliveries - 1) unfinished = true
    }
  }
  return { lines: found, unfinished }
}

/** As many of a line as `beside` finds room for, in one delivery; no line where that is none. */
function maxBeside(
  question: PromiseQuestion,
  line: QuestionLine,
  beside: (line: QuestionLine) => QuestionLine | undefined,
  mayTry: () => boolean,
): { line?: QuestionLine; unfinished: boolean } {
  // Alone it could have so many at most; beside others perhaps fewer.
  const most = question.maxOnAnyDay(line)
  if (most === 0) return { unfinished: false }
  let best = beside({ ...line, quantity: most })
  let high = best ? most + 1 : most
  while (high - (best?.quantity ?? 0) > 1) {
    if (!mayTry()) return { line: best, unfinished: true }
    const middle = Math.floor(((best?.quantity ?? 0) + high) / 2)
    const found = beside({ ...line, quantity: middle })
    if (found) best = found
    else high = middle
  }
  return { line: best, unfinished: false }
}
