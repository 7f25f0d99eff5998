// Another beer of the same style on the wanted day, in the same containers.
import {
  alike,
  type Candidate,
  type PackInfo,
  type PromiseQuestion,
  type QuestionLine,
  replaced,
} from './promise-question.ts'

/** Beers that are offered, and packs that are placed for a line to see whether they can be had. */
const MOST_BEERS = 2
const MOST_TRIED = 8

/** For one late line the first beers that can be had; where several are late, the first for each. */
export function similarBeers(question: PromiseQuestion): Candidate[] {
  const { late } = question
  const [first, ...others] = late
  if (!first) return []
  let lines = [...question.lines]
  for (const line of others) {
    const rest = lines.filter((each) => !late.includes(each) || each === line)
    const [other] = placeable(question, rest, line, 1)
    if (!other) return []
    lines = replaced(lines, [line], [other])
  }
  return placeable(question, lines, first, others.length > 0 ? 1 : MOST_BEERS).map((other, index) => ({
    kind: 'SIMILAR_BEER',
    lines: replaced(lines, [first], [other]),
    instead: [...late],
    distance: 4 + 0.1 * index,
  }))
}

function placeable(
  question: PromiseQuestion,
  lines: readonly QuestionLine[],
  line: QuestionLine,
  most: number,
): QuestionLine[] {
  const found: QuestionLine[] = []
  for (const { pack } of similarTo(question, line).slice(0, MOST_TRIED)) {
    const other = { ...line, packId: pack.id }
    if (!question.onTime(replaced(lines, [line], [other]))) continue
    found.push(other)
    if (found.length === most) break
  }
  return found
}

/** Packs of other beers of the style in the line's container, those dispensed alike first. */
function similarTo({ packs }: PromiseQuestion, { packId }: QuestionLine): PackInfo[] {
  const asked = packs.get(packId)
  if (!asked) return []
  const style = (info: PackInfo) => info.beer.style.trim().toLowerCase()
  return [...packs.values()]
    .filter(
      (info) =>
        info.beer.id !== asked.beer.id && style(info) === style(asked) && info.container.id === asked.container.id,
    )
    .sort((a, b) => Number(alike(b, asked)) - Number(alike(a, asked)))
}
