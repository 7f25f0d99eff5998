// What a line of a question gets, in words: how many of what, on which days, and when the rest comes.
import { dayWords, type LocalDate } from '../../planner/documents/index.ts'
import { listed } from '../../words/sentence-parts.ts'
import type { AskedLine } from './asked-line.ts'
import type { PromisedLine } from './offer.ts'

/** What words about lines need: today, the last day that plans reach (T5), and what packs are called. */
export interface LineWords {
  today: LocalDate
  lastDay: LocalDate
  nameOf: (packId: string) => string
  /** Whether a late line says on which day it was wanted, as where lines are wanted on several. Absent: it does not. */
  sayWanted?: boolean
}

/** Most lines that are said; of others only how many they are. */
const MOST_SAID = 8

/** Lines with what each gets: `6 of 10 × Pale, firkin on Friday 12 March 2027, the other 4 later, on Tuesday 16 March 2027`. */
export function linesInWords(lines: readonly AskedLine[], words: LineWords): string {
  // Lines whose volume is made up together are said once.
  const separate = lines.filter(({ index, sharedWith }) => !sharedWith.some((other) => other < index))
  const said = separate.slice(0, MOST_SAID)
  const more = separate.length > said.length ? [`and ${separate.length - said.length} more lines`] : []
  const [day] = daysOf(lines.flatMap(({ gets }) => gets)).keys()
  const oneDay =
    !words.sayWanted && said.length > 1 && said.length === lines.length && lines.every((line) => isPlain(line, day))
  if (!oneDay || day === undefined) return [...said.map((line) => lineInWords(line, lines, words)), ...more].join('; ')
  return `${said.map((line) => packs(line, words)).join('; ')}: all on ${dayWords(day)}`
}

/** Whether the line is just as it was asked for, and all of it on that day. */
function isPlain({ packId, missing, gets }: AskedLine, day: LocalDate | undefined): boolean {
  const days = daysOf(gets)
  return missing === 0 && gets.every((get) => get.packId === packId) && days.size === 1 && days.has(day ?? '')
}

function lineInWords(line: AskedLine, all: readonly AskedLine[], words: LineWords): string {
  const { packId, quantity, got, missing, gets } = line
  if (gets.some((get) => get.packId !== packId)) {
    const instead = [line, ...line.sharedWith.flatMap((index) => all.filter((other) => other.index === index))]
    const taken = gets.map((get) => packs(get, words)).join(' + ')
    return `${taken} instead of ${instead.map((each) => packs(each, words)).join(' + ')} ${onDays(gets, words)}`
  }
  if (got === 0) return `none of ${packs(line, words)}${restInWords(line, words)}`
  if (missing === 0) return `${packs(line, words)} ${onDays(gets, words)}${wantedInWords(line, words)}`
  return `${got} of ${quantity} × ${words.nameOf(packId)} ${onDays(gets, words)}${restInWords(line, words)}`
}

/** `, wanted on Thursday 11 March 2027`. */
function wantedInWords({ onTime, wantedOn }: AskedLine, { sayWanted, today }: LineWords): string {
  // A question without a day asks for the first one.
  return sayWanted && !onTime && wantedOn !== today ? `, wanted on ${dayWords(wantedOn)}` : ''
}

function packs({ packId, quantity }: { packId: string; quantity: number }, { nameOf }: LineWords): string {
  return `${quantity} × ${nameOf(packId)}`
}

/** `on Friday 12 March 2027`, or `(6 on Friday 12 March 2027 and 4 on Tuesday 16 March 2027)`. */
function onDays(gets: readonly PromisedLine[], { today }: LineWords): string {
  const days = [...daysOf(gets)].sort(([a], [b]) => (a < b ? -1 : 1))
  if (days.length === 1) return `on ${dayWords(days[0]?.[0] ?? today)}`
  return `(${listed(days.map(([day, quantity]) => `${quantity} on ${dayWords(day)}`))})`
}

/** Whole containers by the day on which they are served. */
function daysOf(gets: readonly PromisedLine[]): Map<LocalDate, number> {
  const days = new Map<LocalDate, number>()
  for (const { serveOn, sources } of gets.flatMap(({ deliveries }) => deliveries))
    days.set(
      serveOn,
      sources.reduce((sum, { quantity }) => sum + quantity, days.get(serveOn) ?? 0),
    )
  return days
}

/** When the missing part comes: `, the other 4 later, on Tuesday 16 March 2027`. */
function restInWords(line: AskedLine, words: LineWords): string {
  const { got, missing, later, laterOn, lookedThrough, latestServeOn = words.lastDay } = line
  const the = (count: number) => (got === 0 && count === missing ? 'all' : `the other ${count}`)
  const never = lookedThrough ? `cannot be had by ${dayWords(latestServeOn)}` : 'were not looked for any further'
  if (later === 0 || laterOn === null)
    return got === 0 && lookedThrough ? `, which ${never}` : `, ${the(missing)} ${never}`
  const day = dayWords(laterOn)
  if (later === missing) return `, ${the(missing)} later, by ${day}`
  return `, ${later} more later, by ${day}, and the other ${missing - later} ${never}`
}
