// A promise, or an alternative, in one line that can be read out over a bar: what, how many, when, and what limits it.

import type { LocalDate, OrderLine } from '../../planner/documents/index.ts'
import { addDays } from '../../planner/documents/index.ts'
import { inNames, type NameOfMention } from '../plans/in-names.ts'
import type { Alternative } from './alternative.ts'
import type { AskedLine } from './asked-line.ts'
import { type LineWords, linesInWords } from './line-words.ts'
import type { Offered, PromisedLine } from './offer.ts'
import type { PromiseSession } from './promise-session.ts'
import { spoken, spokenDay } from './spoken.ts'
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
  const { lines, offered } = question
  const asked = offered.lines.map(asAsked)
  const isAnswered = offered.offerToken !== null
  // Of a question without a day, a reason would say why it cannot be had today, which nobody asked.
  const limit = isAnswered && question.undated ? '' : await limitInWords(question, nameOf)
  if (isAnswered) {
    const words = await lineWords(question, asked, nameOf)
    return `${sentence(linesInWords(asked, words) + lateInWords(offered.lines, words.today))}${limit}`
  }
  const [next] = await alternatives()
  const words = await lineWords(question, next?.asked ?? asked, nameOf)
  const until = spokenDay(lines.length === 1 ? (lines[0]?.latestServeOn ?? words.lastDay) : words.lastDay, words.today)
  if (!next) return `Nothing of it can be had by ${until}.${limit}`
  const all = lines.length === 1 ? 'It' : 'Not all of it'
  const cannot = lines.length === 1 ? 'cannot be had whole' : 'can be had'
  return `${all} ${cannot} by ${until}. Instead: ${sentence(linesInWords(next.asked, words))}${limit}`
}

/** What an alternative gives of every line of the question. */
export async function summaryOfAlternative(
  question: Answered,
  { asked }: Alternative,
  nameOf: NameOfMention,
): Promise<string> {
  const words = await lineWords(question, asked, nameOf)
  const limit = asked.every(({ onTime }) => onTime) ? '' : await limitInWords(question, nameOf)
  return `${sentence(linesInWords(asked, words))}${limit}`
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

/** By how much the last of it is later than it was wanted: `, 3 days later than wanted`. */
function lateInWords(lines: readonly PromisedLine[], today: LocalDate): string {
  const late = lines.filter(({ onTime }) => !onTime)
  // Who names no day asks for the first one there is.
  if (late.length === 0 || late.every(({ wantedOn }) => wantedOn === today)) return ''
  const days = [...new Set(late.map(({ wantedOn }) => spokenDay(wantedOn, today)))]
  return days.length === 1 ? `; wanted on ${days[0]}` : '; later than wanted'
}

/** The one thing that limits the line that fares worst: ` What limits it: the route's load is full …`; '' where none does. */
async function limitInWords({ session, offered }: Answered, nameOf: NameOfMention): Promise<string> {
  const late = offered.lines.filter(({ onTime }) => !onTime)
  const worst = late.find((line) => !isWhole(line)) ?? [...late].sort(laterFirst)[0]
  const [limit] = worst?.limits() ?? []
  if (!limit) return ''
  // The first sentence says what binds; what would help is said in the answer's `limits`.
  const [message = ''] = limit.message.split(/(?<=\.)\s+(?=[A-Z])/)
  return ` What limits it: ${spoken(await inNames({ ...limit, message }, nameOf), session.today)}`
}

function laterFirst({ serveOn: a }: PromisedLine, { serveOn: b }: PromisedLine): number {
  return (a ?? '') < (b ?? '') ? 1 : -1
}

async function lineWords(
  { session: { today, problem } }: Answered,
  asked: readonly AskedLine[],
  nameOf: NameOfMention,
): Promise<LineWords> {
  const ids = new Set(asked.flatMap(({ packId, gets }) => [packId, ...gets.map((get) => get.packId)]))
  const found = await Promise.all([...ids].map(async (id) => [id, await nameOf({ kind: 'pack', id })] as const))
  const names = new Map(found)
  return {
    today,
    lastDay: addDays(today, problem.horizonDays - 1),
    nameOf: (packId) => names.get(packId) ?? 'the same pack',
  }
}

/** The words as a sentence. */
function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`
}
