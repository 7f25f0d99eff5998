// The same packs in parts: in two deliveries, fewer on the wanted day and the rest later, or as many as can be had at all.
import { laterOf } from '../../planner/documents/index.ts'
import { type AsMany, asManyBeside, boundTo, servedTogether } from './as-many.ts'
import type { Candidate, Later, PromiseQuestion, QuestionLine } from './promise-question.ts'
import { isWhole } from './whole.ts'

/** Most deliveries that what is looked for later may come in; in plans of a few weeks there are hardly more. */
const MOST_DELIVERIES = 3
/** So many lines are few. */
const FEW = 2

/** Late lines that may come in two deliveries (A3), where all of it is there sooner by that. */
export function twoDeliveries({ lines, late, offered, servedBy }: PromiseQuestion): Candidate[] {
  const whole = late.filter(({ splittable, quantity }) => !splittable && quantity > 1)
  if (whole.length === 0) return []
  const split = lines.map((line) => (whole.includes(line) ? { ...line, splittable: true } : line))
  const day = servedBy(split)
  if (day === undefined || (offered.earliestServeOn !== null && day >= offered.earliestServeOn)) return []
  return [{ kind: 'TWO_DELIVERIES', lines: split, instead: whole, distance: 1.5 }]
}

/**
 * As many as can be of each line on its wanted day, and the rest as early as can be. Where not all can be had, the same
 * without the rest, and as many as can be had on any days.
 */
export function inParts(question: PromiseQuestion): Candidate[] {
  const { lines, late, offered, servedBy } = question
  const onTime = lines.filter((line) => !late.includes(line)).map((line) => boundTo(line, line.serveOn))
  const wanted = late.map((line) => boundTo(line, line.serveOn))
  const now = asManyBeside(question, servedTogether(question, onTime), wanted, { deliveries: 1 })
  const rest = missingOf(lines, now.lines)
  const comesInParts = now.lines.some(({ of }) => late.some((line) => line.of[0] === of[0]))
  const all = inOrder(question, [...now.lines, ...rest])
  if (comesInParts && rest.length > 0 && servedBy(all))
    return [{ kind: 'FEWER_NOW', lines: all, instead: [...late], distance: 1.75 }]
  if (offered.offerToken !== null) return []
  const later = asManyBeside(question, now.lines, rest, { deliveries: deliveriesOf(rest) })
  const { unfinished } = later
  const common = { instead: [...late], unfinished }
  const fewer: Candidate = {
    ...{
      ...common,
      kind: 'FEWER',
      lines: inOrder(question, now.lines),
      distance: 5,
      later: foundLater(later, now.lines),
    },
  }
  const most: Candidate = { ...common, kind: 'WHAT_CAN_BE_HAD', lines: inOrder(question, later.lines), distance: 6 }
  return [fewer, most].filter(({ lines }, index) => lines.length > (index === 0 ? 0 : now.lines.length))
}

/** Each line that can be had whole as it was answered, and as many as can be of the others, for questions of very many lines. */
export function whatCanBeHad(question: PromiseQuestion): Candidate[] {
  const { lines, offered } = question
  if (offered.offerToken !== null) return []
  const whole = lines.flatMap((line, index) => {
    const answer = offered.lines[index]
    return answer?.serveOn && isWhole(answer) ? [boundTo(line, answer.serveOn)] : []
  })
  const kept = servedTogether(question, whole)
  const rest = missingOf(lines, kept)
  const { lines: had, unfinished } = asManyBeside(question, kept, rest, { deliveries: deliveriesOf(rest) })
  if (had.length === 0) return []
  return [
    { kind: 'WHAT_CAN_BE_HAD', lines: inOrder(question, had), instead: [...question.late], distance: 6, unfinished },
  ]
}

/** In how many deliveries the rest of each line is looked for: many lines are looked for once, which is quicker. */
function deliveriesOf(rest: readonly QuestionLine[]): number {
  return rest.length <= FEW ? MOST_DELIVERIES : 1
}

/** The lines of the question with what none of `had` gives of them. */
function missingOf(lines: readonly QuestionLine[], had: readonly QuestionLine[]): QuestionLine[] {
  return lines.flatMap((line) => {
    const taken = had.filter(({ of }) => of[0] === line.of[0]).reduce((sum, { quantity }) => sum + quantity, 0)
    return taken < line.quantity ? [{ ...line, quantity: line.quantity - taken }] : []
  })
}

/** What was found beside `now`, by line of the question. */
function foundLater({ lines }: AsMany, now: readonly QuestionLine[]): ReadonlyMap<number, Later> {
  const found = new Map<number, Later>()
  for (const { of, quantity, latestServeOn: day = '' } of lines.filter((line) => !now.includes(line))) {
    const before = found.get(of[0]!) ?? { quantity: 0, on: day }
    found.set(of[0]!, { quantity: before.quantity + quantity, on: laterOf(day, before.on) })
  }
  return found
}

/**
 * As the question has them, parts of one line by the day by which they are served, what has none last; or in the order in which
 * they were found, where they cannot be had together in the other: lines are placed in the order that is given.
 */
function inOrder({ place }: PromiseQuestion, lines: readonly QuestionLine[]): QuestionLine[] {
  const day = ({ latestServeOn = '9999' }: QuestionLine) => latestServeOn
  const ordered = [...lines].sort((a, b) => (a.of[0] ?? 0) - (b.of[0] ?? 0) || (day(a) < day(b) ? -1 : 1))
  const isSame = ordered.every((line, index) => line === lines[index])
  return isSame || place(ordered).every(isWhole) ? ordered : [...lines]
}
