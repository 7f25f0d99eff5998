// Wishes give way: a line without a promise leaves what it holds to a line that is to be promised, where that one would
// else not be served in time. As few as needed give way, those of the lowest priority first; promised lines and reservations
// never do.
import { dayNumber, type LocalDate, localDateOf } from '../calendar/days.ts'
import type { OrderLine } from '../documents/problem.ts'
import { lastServe, type Placement } from '../model/batch.ts'
import { compileLine } from '../model/compile.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import { dispatchesOf } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { holds } from '../model/stores-fleets.ts'
import { PlanEdit } from './plan-edit.ts'
import type { TrialAnswer } from './trial-answer.ts'

/** Most lines that are looked at as ones that might give way: lifting one takes about as long as placing one. */
export const MOST_WISHES = 64

/** How a line is served: the day of its last serving, null where nothing is served; whole containers. */
export interface Served {
  serveOn: LocalDate | null
  served: number
}

/** A line that gave way, and how it is served before and after. */
export interface GaveWay {
  orderLineId: string
  before: Served
  after: Served
}

/** How lines are served where the wishes give way. */
export interface GivenWay<Result> {
  result: Result
  /** Lines of the state that give way, in the order in which they are lifted. Empty: none has to, or it would not help. */
  wishes: readonly LineModel[]
}

/** The result of placing lines, which are taken out again. */
interface Placed {
  answers: readonly TrialAnswer[]
}

/**
 * How lines are served beside the plan as it stands (`standing`, the result of a first `attempt`); or, where one of them is late
 * then, with all wishes lifted that might give way, if the last of them is served sooner so. `attempt` places the lines, looks,
 * and takes them out again. The state is as before.
 */
export function withWishesLifted<Result extends Placed>(
  state: State,
  lines: readonly OrderLine[],
  standing: Result,
  attempt: () => Result,
): GivenWay<Result> {
  const stays = { result: standing, wishes: [] }
  if (cannotBeSooner(state, lines, standing.answers)) return stays
  const wishes = wishesAmong(state, lines)
  if (wishes.length === 0) return stays
  const result = whileLifted(state, wishes, attempt)
  return isSooner(result.answers, standing.answers) ? { result, wishes } : stays
}

/** The same with as few wishes lifted as serve the last line as soon as lifting all does. Takes some ten times as long. */
export function withFewestLifted<Result extends Placed>(
  state: State,
  lines: readonly OrderLine[],
  standing: Result,
  attempt: () => Result,
): GivenWay<Result> {
  const best = withWishesLifted(state, lines, standing, attempt)
  if (best.wishes.length === 0) return best
  return fewest(best.wishes, best.result, (wishes) => {
    const result = whileLifted(state, wishes, attempt)
    return isSooner(best.result.answers, result.answers) ? undefined : result
  })
}

/** What was reached with `all` wishes lifted, reached with few of them: of each further one it is known that it is needed. */
function fewest<Result>(
  all: readonly LineModel[],
  reached: Result,
  reach: (wishes: readonly LineModel[]) => Result | undefined,
): GivenWay<Result> {
  let found: GivenWay<Result> = { result: reached, wishes: all }
  const needed: LineModel[] = []
  // Always: the needed ones and all of the rest together suffice.
  for (let rest = all; rest.length > 0; ) {
    let [low, high] = [0, rest.length]
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2)
      const wishes = [...needed, ...rest.slice(0, middle)]
      const result = reach(wishes)
      if (result) found = { result, wishes }
      if (result) high = middle
      else low = middle
    }
    needed.push(element(rest, high - 1))
    rest = rest.slice(0, high - 1)
    const result = reach(needed)
    if (result) return { result, wishes: [...needed] }
  }
  return found
}

/** A wish that was lifted, and what served it. */
export interface LiftedWish {
  line: LineModel
  before: Placement
}

/** Looks at the state while wishes are lifted; the state is as before. */
export function whileLifted<T>(
  state: State,
  wishes: readonly LineModel[],
  look: (lifted: readonly LiftedWish[]) => T,
): T {
  if (wishes.length === 0) return look([])
  const edit = new PlanEdit(state)
  try {
    return look(liftWishes(state, edit, wishes))
  } finally {
    edit.undo()
  }
}

/**
 * Lifts wishes, but for those whose containers others need back (C1) or whose lifting leaves too much in a store (S1).
 * Answers what was lifted.
 */
export function liftWishes(state: State, edit: PlanEdit, wishes: readonly LineModel[]): LiftedWish[] {
  const lifted: LiftedWish[] = []
  for (const line of wishes) {
    const before = state.placements[line.index]
    if (!before) continue
    const { mark } = edit
    edit.lift(before)
    if (holds(state)) lifted.push({ line, before })
    else edit.undoTo(mark)
  }
  edit.settle()
  return lifted
}

/** What became of a wish that was lifted and is served now by `after`, if by anything. */
export function gaveWay(state: State, { line, before }: LiftedWish, after: Placement | undefined): GaveWay {
  return { orderLineId: line.id, before: servedBy(state, before), after: servedBy(state, after) }
}

/** Whether it is served on another day or in another quantity, and not merely from elsewhere. */
export function isMoved({ before, after }: GaveWay): boolean {
  return before.serveOn !== after.serveOn || before.served !== after.served
}

function servedBy({ model }: State, placement: Placement | undefined): Served {
  const last = lastServe(placement)
  return { serveOn: last < 0 ? null : localDateOf(model.today + last), served: placement?.delivered ?? 0 }
}

/** The lines that might give way, those that give way first at the front: where there are many, those nearest to what is asked for. */
export function wishesAmong({ model, placements }: State, lines: readonly OrderLine[]): LineModel[] {
  const packs = new Set(lines.map(({ packId }) => model.indexOf.pack.get(packId)))
  const beers = new Set([...packs].map((pack) => (pack === undefined ? undefined : element(model.packs, pack).beer)))
  const near: [pack: LineModel[], beer: LineModel[], other: LineModel[]] = [[], [], []]
  for (const line of model.lines)
    if (!line.promised && placements[line.index])
      near[packs.has(line.pack) ? 0 : beers.has(line.beer) ? 1 : 2].push(line)
  const inOrder = (some: LineModel[]) => some.sort((a, b) => byGivingWay(a, b, placements))
  const chosen: LineModel[] = []
  for (const some of near)
    if (chosen.length < MOST_WISHES) chosen.push(...inOrder(some).slice(0, MOST_WISHES - chosen.length))
  return inOrder(chosen)
}

/** The lowest priority first; then the line that is served last, which has the most time to be placed again; then the larger. */
function byGivingWay(a: LineModel, b: LineModel, placements: State['placements']): number {
  return (
    b.priority - a.priority ||
    lastServe(placements[b.index]) - lastServe(placements[a.index]) ||
    b.quantity - a.quantity ||
    (a.id < b.id ? -1 : 1)
  )
}

/** Whether lines are on time or served on the first day that their routes allow. */
function cannotBeSooner(state: State, lines: readonly OrderLine[], answers: readonly TrialAnswer[]): boolean {
  return answers.every(({ onTime, served, quantity, serveOn }, index) => {
    if (onTime) return true
    const line = lines[index]
    if (!line || serveOn === null || served < quantity) return false
    return dayNumber(serveOn) - state.model.today === firstServeDay(state, line)
  })
}

function firstServeDay({ model }: State, line: OrderLine): number {
  const { options } = compileLine(model, line)
  return Math.min(...dispatchesOf(model, options).map(({ serve }) => serve))
}

/** Whether all lines are served whole, and the last of them, or else one of them, on an earlier day than by the other answers. */
function isSooner(answers: readonly TrialAnswer[], others: readonly TrialAnswer[]): boolean {
  const [mine, theirs] = [daysOf(answers), daysOf(others)]
  if (mine.last !== theirs.last) return mine.last < theirs.last
  return mine.sum < theirs.sum
}

/** The day by which all lines are served whole, and the sum of such days; infinity where one is not. */
function daysOf(answers: readonly TrialAnswer[]): { last: number; sum: number } {
  let [last, sum] = [Number.NEGATIVE_INFINITY, 0]
  for (const { served, quantity, serveOn } of answers) {
    const day = served === quantity && serveOn !== null ? dayNumber(serveOn) : Number.POSITIVE_INFINITY
    last = Math.max(last, day)
    sum += day
  }
  return { last, sum }
}
