// What was asked for, as those who look for alternatives see it: which lines are late, and whether others could be had.
import { addDays } from '../../planner/days.ts'
import type { Beer, ContainerType, LocalDate, OrderLine, Pack, Problem } from '../../planner/problem.ts'
import type { Asking } from './asking.ts'
import type { Offered } from './offer.ts'
import { isWhole } from './whole.ts'

export const ALTERNATIVE_KINDS = [
  'OTHER_CONTAINERS',
  'TWO_DELIVERIES',
  'FEWER_NOW',
  'FEWER',
  'EARLIER_DAY',
  'LATER_DAY',
  'SIMILAR_BEER',
] as const
export type AlternativeKind = (typeof ALTERNATIVE_KINDS)[number]

/** Lines placed at most in looking for the alternatives of one wish: some tenths of a second in a plan of 5,000 lines. */
const MOST_PLACED = 3000

/** Lines that could be had in place of the wish. */
export interface Candidate {
  kind: AlternativeKind
  lines: OrderLine[]
  /** The lines of the wish that are served differently. */
  instead: OrderLine[]
  /** How far it is from the wish: less is closer. A day counts one half, another treatment one, another beer four. */
  distance: number
}

/** A pack with what it is of and what it holds. */
export interface PackInfo {
  pack: Pack
  beer: Beer
  container: ContainerType
}

export interface Wish {
  lines: readonly OrderLine[]
  /** Those of them that are not wholly served on their wanted days. */
  late: readonly OrderLine[]
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
  greatest: (line: OrderLine) => number
}

/** The wish of some lines; `orderable` are the ids of packs that are not retired. */
export function wishOf(
  asking: Asking,
  lines: readonly OrderLine[],
  offered: Offered,
  orderable: ReadonlySet<string>,
): Wish {
  const { problem, today } = asking
  const containers = new Map(problem.containerTypes.map((type) => [type.id, type]))
  const packs = problem.beers.flatMap((beer) =>
    beer.packs.flatMap((pack): [string, PackInfo][] => {
      const container = containers.get(pack.containerTypeId)
      return container && orderable.has(pack.id) ? [[pack.id, { pack, beer, container }]] : []
    }),
  )
  let left = MOST_PLACED
  /** The answers about lines placed together; none where enough was tried. */
  const placed = (some: readonly OrderLine[]) => {
    left -= some.length
    if (left < 0) return undefined
    const lines = some.map((line, index) => ({ ...line, id: `asked-${index}` }))
    return asking.trial().promise(lines, { unexplained: true })
  }
  return {
    lines,
    late: lines.filter((_, index) => !offered.lines[index]?.onTime),
    offered,
    problem,
    today,
    lastDay: addDays(today, problem.horizonDays - 1),
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
    greatest: (line) => asking.trial().greatest({ ...line, id: 'asked-0', latestServeOn: line.serveOn })[0] ?? 0,
  }
}

/** The lines of the wish with others in place of some, where the first of these stood. */
export function replaced(
  lines: readonly OrderLine[],
  gone: readonly OrderLine[],
  others: readonly OrderLine[],
): OrderLine[] {
  return lines.flatMap((line) => (line === gone[0] ? others : gone.includes(line) ? [] : [line]))
}

/** Whether two packs are dispensed alike: casks or kegs, drawn from the same vessels, primed or not. */
export function alike(a: PackInfo, b: PackInfo): boolean {
  return (
    a.container.kind === b.container.kind &&
    a.pack.drawFrom === b.pack.drawFrom &&
    (a.pack.primed ?? false) === (b.pack.primed ?? false)
  )
}
