// A promise, or an alternative, in one line that can be read out over a bar: what, how many, when, and what limits it.

import type { OrderLine } from '../../planner/documents/index.ts'
import { dayWords, laterOf } from '../../planner/documents/index.ts'
import type { NameOfMention } from '../../words/mentions.ts'
import { limitInWords, namesIn } from '../../words/reason-words.ts'
import { capital } from '../../words/sentence-parts.ts'
import type { Alternative } from './alternative.ts'
import type { AskedLine } from './asked-line.ts'
import { type LineWords, linesInWords } from './line-words.ts'
import type { Offered, PromisedLine } from './offer.ts'
import { lastDayOf, type PromiseSession } from './promise-session.ts'
import { isWhole } from './whole.ts'

/** The question that was answered. */
export interface Answered {
  session: Pick<PromiseSession, 'today' | 'problem'>
  lines: readonly OrderLine[]
  offered: Offered
  /** Whether no day was named: the first one that there is answers the question. */
  undated?: boolean
}

/** What was offered, and the next best where it cannot be had whole. No ids, no figures of lines. */
export async function summaryOfPromise(
  question: Answered,
  alternatives: () => Promise<readonly Alternative[]>,
  nameOf: NameOfMention,
): Promise<string> {
  const { session, lines, offered } = question
  const asked = offered.lines.map(asAsked)
  const isAnswered = offered.offerToken !== null
  const limit = await whatLimits(question, nameOf)
  if (isAnswered) {
    const sayWanted = new Set(lines.map(({ serveOn }) => serveOn)).size > 1
    const words = { ...(await lineWords(session, asked, nameOf)), sayWanted }
    return `${sentence(linesInWords(asked, words) + (sayWanted ? '' : wantedInWords(question)))}${limit}`
  }
  const [next] = await alternatives()
  const words = await lineWords(session, next?.asked ?? asked, nameOf)
  const lastWanted = lines.map(({ latestServeOn = words.lastDay }) => latestServeOn).reduce(laterOf)
  const until = dayWords(lastWanted)
  if (!next) return `Nothing of it can be had by ${until}.${limit}`
  const all = lines.length === 1 ? 'It' : 'Not all of it'
  const cannot = lines.length === 1 ? 'cannot be had whole' : 'can be had'
  return `${all} ${cannot} by ${until}. Instead: ${sentence(linesInWords(next.asked, words))}${limit}`
}

/** What an alternative gives of every line of the question; what limits the answer is said with the answer. */
export async function summaryOfAlternative(
  session: Answered['session'],
  { asked }: Alternative,
  nameOf: NameOfMention,
): Promise<string> {
  return sentence(linesInWords(asked, await lineWords(session, asked, nameOf)))
}

/** A line of the answer itself. */
function asAsked(line: PromisedLine, index: number): AskedLine {
  const { packId, quantity, wantedOn, onTime, served } = line
  return {
    ...{ index, packId, quantity, wantedOn, onTime },
    got: served,
    missing: quantity - served,
    later: 0,
    laterOn: null,
    lookedThrough: true,
    gets: served > 0 ? [line] : [],
    sharedWith: [],
  }
}

/** The day on which all was wanted, where a line is late: `; wanted on Thursday 11 March 2027`. */
function wantedInWords({ lines, offered, undated }: Answered): string {
  const [line] = lines
  return undated || offered.allOnTime || !line ? '' : `; wanted on ${dayWords(line.serveOn)}`
}

/** The one thing that limits the line that fares worst: ` What limits it: the route's load is full …`; '' where none does. */
async function whatLimits(question: Answered, nameOf: NameOfMention): Promise<string> {
  const late = question.offered.lines.filter(({ onTime }) => !onTime)
  const worst = late.find((line) => !isWhole(line)) ?? [...late].sort(laterFirst)[0]
  const [limit] = worst?.limits() ?? []
  if (!limit) return ''
  // What would help is said in the answer's `limits`.
  return ` What limits it: ${limitInWords(limit, { name: await namesIn(limit, nameOf), day: dayWords })}`
}

function laterFirst({ serveOn: a }: PromisedLine, { serveOn: b }: PromisedLine): number {
  return (a ?? '') < (b ?? '') ? 1 : -1
}

async function lineWords(
  session: Answered['session'],
  asked: readonly AskedLine[],
  nameOf: NameOfMention,
): Promise<LineWords> {
  const ids = new Set(asked.flatMap(({ packId, gets }) => [packId, ...gets.map((get) => get.packId)]))
  const found = await Promise.all([...ids].map(async (id) => [id, await nameOf({ kind: 'pack', id })] as const))
  const names = new Map(found)
  return {
    today: session.today,
    lastDay: lastDayOf(session),
    nameOf: (packId) => names.get(packId) ?? 'the same pack',
  }
}

/** The words as a sentence. */
function sentence(words: string): string {
  return `${capital(words)}.`
}
