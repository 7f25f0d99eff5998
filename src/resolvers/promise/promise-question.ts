// A question of sales as the search for alternatives reads it: which lines are late, and whether others could be had.

import type { Beer, ContainerType, LocalDate, OrderLine, Pack, Problem } from '../../planner/documents/index.ts'
import { addDays } from '../../planner/documents/index.ts'
import type { TrialAnswer } from '../../planner/index.ts'
import type { Offered } from './offer.ts'
import type { PromiseSession } from './promise-session.ts'
import { isWhole } from './whole.ts'

export const ALTERNATIVE_KINDS = [
  'OTHER_CONTAINERS',
  'TWO_DELIVERIES',
  'FEWER_NOW',
  'FEWER',
  'WHAT_CAN_BE_HAD',
  'EARLIER_DAY',
  'LATER_DAY',
  'SIMILAR_BEER',
] as const
export type AlternativeKind = (typeof ALTERNATIVE_KINDS)[number]

/** Just what was asked for, by a new plan: it is looked for in the background. */
export const NEW_PLAN = 'NEW_PLAN'

/** Lines placed at most in looking for the alternatives of one question: some tenths of a second in a plan of 5,000 lines. */
const MOST_PLACED = 3000

/** A line of the question, or one that stands in its place. */
export interface QuestionLine extends OrderLine {
  /** The lines of the question, by index, that it answers: several where their volume is made up together. */
  of: readonly number[]
}

/** What a candidate does not give of a line of the question, but could be had later beside it. */
export interface Later {
  /** Whole containers. */
  quantity: number
  /** The day by which all of these are served. */
  on: LocalDate
}

/** Lines that could be had in place of the question. */
export interface Candidate {
  kind: AlternativeKind
  lines: QuestionLine[]
  /** The lines of the question that are served differently. */
  instead: QuestionLine[]
  /** By line of the question: what is not in `lines` and can be had later. Absent: nothing. */
  later?: ReadonlyMap<number, Later>
  /** Whether all that could be had was looked for; not so where very many lines are short. Absent: it was. */
  unfinished?: boolean
  /** How far it is from the question: less is closer. A day counts one half, another treatment one, another beer four. */
  distance: number
}

/** A pack with what it is of and what it holds. */
export interface PackInfo {
  pack: Pack
  beer: Beer
  container: ContainerType
}

export interface PromiseQuestion {
  lines: readonly QuestionLine[]
  /** Those of them that are not wholly served on their wanted days. */
  late: readonly QuestionLine[]
  offered: Offered
  problem: Problem
  today: LocalDate
  /** The last day that plans reach (T5). */
  lastDay: LocalDate
  /** Packs that can be ordered, by id. */
  packs: ReadonlyMap<string, PackInfo>
  /** Whether all of these lines are wholly served on their serve days, placed together. */
  onTime: (lines: readonly OrderLine[]) => boolean
  /** The day by which all of these lines are wholly served, placed together; undefined where one cannot be. */
  servedBy: (lines: readonly OrderLine[]) => LocalDate | undefined
  /** The greatest quantity, at most that of the line, of its pack on its serve day, on its own. */
  maxAvailable: (line: OrderLine) => number
  /** The same on the best of all days on which it is wanted. */
  maxOnAnyDay: (line: OrderLine) => number
  /** How all of these lines are served, placed together, however much was tried already. */
  place: (lines: readonly OrderLine[]) => TrialAnswer[]
}

/** The question of some lines; `orderable` are the ids of packs that are not retired. */
export function promiseQuestionOf(
  session: PromiseSession,
  asked: readonly OrderLine[],
  offered: Offered,
  orderable: ReadonlySet<string>,
): PromiseQuestion {
  const { problem, today } = session
  const lines = asked.map((line, index): QuestionLine => ({ ...line, of: [index] }))
  const lastDay = addDays(today, problem.horizonDays - 1)
  const containers = new Map(problem.containerTypes.map((type) => [type.id, type]))
  const packs = problem.beers.flatMap((beer) =>
    beer.packs.flatMap((pack): [string, PackInfo][] => {
      const container = containers.get(pack.containerTypeId)
      return container && orderable.has(pack.id) ? [[pack.id, { pack, beer, container }]] : []
    }),
  )
  let left = MOST_PLACED
  const place = (some: readonly OrderLine[]) =>
    session.trial().promise(
      some.map((line, index) => ({ ...line, id: `asked-${index}` })),
      { unexplained: true },
    )
  /** The answers about lines placed together; none where enough was tried. */
  const placed = (some: readonly OrderLine[]) => {
    left -= some.length
    return left < 0 ? undefined : place(some)
  }
  const maxAvailableByDay = (line: OrderLine, to: LocalDate) =>
    session.trial().maxAvailable({ ...line, id: 'asked-0', latestServeOn: to })
  const onAnyDay = new Map<string, { sought: number; found: number }>()
  return {
    lines,
    late: lines.filter((_, index) => !offered.lines[index]?.onTime),
    offered,
    problem,
    today,
    lastDay,
    place,
    packs: new Map(packs),
    onTime: (some) => {
      const answers = placed(some.map((line) => ({ ...line, latestServeOn: line.serveOn })))
      return answers?.every(({ onTime }) => onTime) ?? false
    },
    servedBy: (some) => {
      const answers = placed(some)
      if (!answers?.every(isWhole)) return undefined
      return answers
        .map(({ serveOn }) => serveOn ?? '')
        .sort()
        .at(-1)
    },
    maxAvailable: (line) => maxAvailableByDay(line, line.serveOn)[0] ?? 0,
    maxOnAnyDay: (line) => {
      const key = JSON.stringify([line.packId, line.serveOn, line.latestServeOn])
      const known = onAnyDay.get(key)
      // Fewer were found than were looked for: there are no more.
      if (known && (known.found < known.sought || line.quantity <= known.sought))
        return Math.min(known.found, line.quantity)
      const found = Math.max(0, ...maxAvailableByDay(line, line.latestServeOn ?? lastDay))
      onAnyDay.set(key, { sought: line.quantity, found })
      return found
    },
  }
}

/** The lines of the question with others in place of some, where the first of these stood. */
export function replaced(
  lines: readonly QuestionLine[],
  gone: readonly QuestionLine[],
  others: readonly QuestionLine[],
): QuestionLine[] {
  return lines.flatMap((line) => (line === gone[0] ? others : gone.includes(line) ? [] : [line]))
}

/** Whether two packs are dispensed alike: casks or kegs, drawn from the same vessels, primed or not. */
export function alike(a: PackInfo, b: PackInfo): boolean {
  return a.container.kind === b.container.kind && a.pack.drawFrom === b.pack.drawFrom && a.pack.primed === b.pack.primed
}
