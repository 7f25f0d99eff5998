// What else could be had where an answer is no, or late. Each alternative was placed like the question itself, and can be
// taken up by a token of its own.
import type { OrderLine } from '../../planner/documents/index.ts'
import { addDays, dayWords } from '../../planner/documents/index.ts'
import { nextTurn } from '../../thread-turns.ts'
import { MOST_LINES } from '../orders/shapes.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { Alternative } from './alternative.ts'
import { askedLinesOf } from './asked-line.ts'
import { linesInWords } from './line-words.ts'
import { type Offered, offerOf } from './offer.ts'
import { otherContainers } from './other-containers.ts'
import { otherDays } from './other-days.ts'
import { inParts, twoDeliveries, whatCanBeHad } from './other-quantities.ts'
import { type Candidate, type PromiseQuestion, promiseQuestionOf, type QuestionLine } from './promise-question.ts'
import type { PromiseSession } from './promise-session.ts'
import { similarBeers } from './similar-beers.ts'
import { summaryOfAlternative } from './summary.ts'

/** Most alternatives of one answer. */
export const MOST_ALTERNATIVES = 6

/** Where more lines are late, only other days are looked at. */
const MOST_LATE = 20

/** The alternatives to an answer, the closest to what was asked for first; none where all is on time. */
export async function alternativesTo(
  { client, distributorId }: PlanningActor,
  session: PromiseSession,
  lines: readonly OrderLine[],
  offered: Offered,
): Promise<Alternative[]> {
  if (offered.allOnTime) return []
  const packs = await client.pack.findMany({
    where: { distributorId, retiredAt: null, beer: { retiredAt: null } },
    select: { id: true, name: true },
  })
  const names = new Map(packs.map(({ id, name }) => [id, name]))
  const question = promiseQuestionOf(session, lines, offered, new Set(names.keys()))
  const few = question.late.length <= MOST_LATE
  const candidates = [
    ...otherDays(question),
    ...(few
      ? [...otherContainers(question), ...twoDeliveries(question), ...inParts(question), ...similarBeers(question)]
      : whatCanBeHad(question)),
  ]
    .filter(({ lines }) => lines.length <= MOST_LINES)
    .sort((a, b) => a.distance - b.distance)
  const found: Alternative[] = []
  for (const candidate of candidates) {
    await nextTurn()
    if (found.length === MOST_ALTERNATIVES) break
    const placed = candidate.lines.map(({ of: _, ...line }, index) => ({ ...line, id: `asked-${index}` }))
    // How long it is wanted stays as it was asked, though it was looked for by a day of its own.
    const wanted = candidate.lines.map(({ of, ...line }) => ({
      ...line,
      latestServeOn: lines[of[0] ?? 0]?.latestServeOn,
    }))
    const { lines: served, earliestServeOn, offerToken } = offerOf(session, placed, { wanted })
    if (!offerToken || !earliestServeOn) continue
    const asked = askedLinesOf(lines, candidate, served)
    const alternative: Alternative = {
      ...{ kind: candidate.kind, asked, serveOn: earliestServeOn, lines: served, offerToken },
      message: inWords(question, candidate, { asked, lines: served }, names),
      summary: (nameOf) => summaryOfAlternative(session, alternative, nameOf),
    }
    if (offered.offerToken && deliveriesOf(offered) === deliveriesOf(alternative)) continue
    const same = found.findIndex((each) => deliveriesOf(each) === deliveriesOf(alternative))
    if (same < 0) found.push(alternative)
    // Of two that bring the same, the one with a promised day for each part is the better.
    else if (served.length > (found[same]?.lines.length ?? 0)) found[same] = alternative
  }
  return found
}

/** What comes when, to compare: two that bring the same packs on the same days are one for the caller. */
function deliveriesOf({ lines }: Pick<Offered, 'lines'>): string {
  const parts = new Map<string, number>()
  for (const { packId, deliveries } of lines)
    for (const { serveOn, sources } of deliveries) {
      const part = `${serveOn} ${packId}`
      parts.set(
        part,
        sources.reduce((sum, { quantity }) => sum + quantity, parts.get(part) ?? 0),
      )
    }
  return JSON.stringify([...parts].sort())
}

function inWords(
  { lines: asked, today, lastDay }: PromiseQuestion,
  { kind, lines, instead }: Candidate,
  { asked: each, lines: served }: Pick<Alternative, 'asked' | 'lines'>,
  names: ReadonlyMap<string, string>,
): string {
  // Packs have commas in their names.
  const list = (some: readonly OrderLine[]) => some.map(what).join('; ')
  const what = ({ packId, quantity }: OrderLine) => `${quantity} × ${names.get(packId) ?? 'the same pack'}`
  const dated = (line: QuestionLine) =>
    `${what(line)} on ${dayWords(served[lines.indexOf(line)]?.serveOn ?? line.serveOn)}`
  const last = served.reduce((day, { serveOn }) => (serveOn && serveOn > day ? serveOn : day), '')
  const taken = lines.filter((line) => !asked.includes(line))
  const gets = () => linesInWords(each, { today, lastDay, nameOf: (id) => names.get(id) ?? 'the same pack' })
  const swapped = `${list(taken)} instead of ${list(instead)}`
  switch (kind) {
    case 'OTHER_CONTAINERS':
      return `The same beer in other containers, on time: ${swapped}.`
    case 'SIMILAR_BEER':
      return `A beer of the same style, on time: ${swapped}.`
    case 'TWO_DELIVERIES':
      return `In two deliveries, all of it by ${dayWords(last)}: ${list(instead)}.`
    case 'FEWER_NOW':
      return `Fewer on the wanted day and the rest later: ${taken.map(dated).join('; ')}.`
    case 'FEWER':
      return `Fewer, on the wanted day: ${gets()}.`
    case 'WHAT_CAN_BE_HAD':
      return `As many as can be had, by ${dayWords(last)}: ${gets()}.`
    case 'EARLIER_DAY':
    case 'LATER_DAY':
      return `All of it ${lines.every((line) => line.serveOn === last) ? 'on' : 'on days up to'} ${dayWords(last)}, ${apart(lines, asked)}.`
  }
}

function apart(lines: readonly OrderLine[], asked: readonly OrderLine[]): string {
  const moved = Math.max(
    0,
    lines.findIndex(({ serveOn }, index) => serveOn !== asked[index]?.serveOn),
  )
  const [from, to] = [asked[moved]?.serveOn ?? '', lines[moved]?.serveOn ?? '']
  const [first, last] = from < to ? [from, to] : [to, from]
  let days = 0
  for (let day = first; day < last; day = addDays(day, 1)) days++
  return `${days} ${days === 1 ? 'day' : 'days'} ${from < to ? 'later' : 'earlier'}`
}
