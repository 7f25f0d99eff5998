// A line of the question in an alternative to it: what it gets, what it does not, and when the rest could be had.
import type { LocalDate, OrderLine } from '../../planner/documents/index.ts'
import type { PromisedLine } from './offer.ts'
import type { Candidate } from './promise-question.ts'

export interface AskedLine {
  /** Its index in the question, from 0. */
  index: number
  packId: string
  /** Whole containers that were asked for, and the day. */
  quantity: number
  wantedOn: LocalDate
  /** Whether all of it is served on that day. */
  onTime: boolean
  /** The last day on which it was looked for. Absent: the last day that plans reach. */
  latestServeOn?: LocalDate
  /** Of the containers asked for, so many are served, if need be by others that hold as much. */
  got: number
  /** Of the containers asked for, so many are not in the alternative: `got` and `missing` are `quantity`. */
  missing: number
  /** Of the missing ones, so many can be had later beside the alternative, all by `laterOn`. */
  later: number
  /** Null where `later` is 0. */
  laterOn: LocalDate | null
  /** False where `later` may be more than it says: enough had been looked for. */
  lookedThrough: boolean
  /** What it gets; none where nothing. */
  gets: PromisedLine[]
  /** Other lines of the question, by index, whose volume is made up together with this one's: what is got is got for all. */
  sharedWith: number[]
}

/** Each line of the question in a candidate whose lines are served so. */
export function askedLinesOf(
  question: readonly OrderLine[],
  { lines, later, unfinished = false }: Pick<Candidate, 'lines' | 'later' | 'unfinished'>,
  served: readonly PromisedLine[],
): AskedLine[] {
  return question.map(({ packId, quantity, serveOn: wantedOn, latestServeOn }, index) => {
    const own = lines.flatMap((line, at) => {
      const answer = served[at]
      return line.of.includes(index) && answer ? [{ line, answer }] : []
    })
    const gets = own.map(({ answer }) => answer)
    // What comes in other packs makes up all of it.
    const inOthers = own.some(({ line }) => line.packId !== packId || line.of.length > 1)
    const got = inOthers ? quantity : own.reduce((sum, { line }) => sum + line.quantity, 0)
    const { quantity: more, on } = later?.get(index) ?? { quantity: 0, on: null }
    const missing = quantity - got
    return {
      ...{ index, packId, quantity, wantedOn, latestServeOn, got, missing, gets },
      onTime: missing === 0 && gets.every(({ serveOn }) => serveOn === wantedOn),
      later: more,
      laterOn: on,
      lookedThrough: missing === more || !unfinished,
      sharedWith: [...new Set(own.flatMap(({ line }) => line.of))].filter((other) => other !== index),
    }
  })
}
