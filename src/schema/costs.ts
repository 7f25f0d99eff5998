// What fields cost in a query beside one for each value: work of the planner and of the database, and lists by their lengths. One
// is about what a value takes to fetch and send, some microseconds.
import { dayNumber, localDate } from '../planner/documents/index.ts'
import { MOST_LINES } from '../resolvers/orders/shapes.ts'
import { MOST_HORIZON } from '../resolvers/setup/limits.ts'
import { DEFAULT_PAGE, MAX_PAGE } from './page-faults.ts'

/** Entries that a list without pages counts for, where its field does not say. */
const LIST_LENGTH = 10
/** Fillers, fleets, stores or routes that a list by days has entries of on a day. */
const THINGS_A_DAY = 5
/** Vessels with a timeline, and the days for which one of their spans lasts. */
const USUAL_VESSELS = 50
const DAYS_OF_A_SPAN = 10

/** A line of a question, placed in the plan in force and taken out again. */
const PLACED_LINE = 50
/** The same line in all the alternatives that are tried. */
const ALTERNATIVES_OF_A_LINE = 100
/** Reading a whole plan and reckoning what follows from it. */
const PLAN_VIEW = 500

interface Cost {
  field: number
  multiplier: number
}

/** A list that mostly has so many entries, though it may have more. */
export const usually = (length: number): Cost => ({ field: 1, multiplier: length })

/** Lines of most orders: one to three. */
export const USUAL_LINES = 5

/** The order of a line: the more lines an order has, the more of them lead to it, so that its lines beneath count as many as there may be. */
export const ORDER_OF_LINE: Cost = { field: 1, multiplier: MOST_LINES / USUAL_LINES }

/** A question with lines: what is beneath it counts once for each line. */
export function costOfPromise({ input }: { input: { lines: readonly unknown[] } }): Cost {
  const lines = Math.max(1, input.lines.length)
  return { field: PLACED_LINE * lines, multiplier: lines }
}

/** A thing that is entered with others: it is looked up, placed and written. */
const ENTERED = 10

/** Things that are entered together: what is beneath counts once for each. */
export function costOfImport({ input }: { input: { [list: string]: readonly unknown[] } }): Cost {
  const things = Object.values(input).flat()
  const lines = things.reduce<number>((sum, thing) => sum + linesIn(thing), 0)
  return { field: ENTERED * lines, multiplier: Math.max(1, things.length) }
}

/** Rows of a table that is sent: what each line costs that is entered. */
export function costOfRows(rows: number): number {
  return ENTERED * Math.max(1, rows)
}

/** How many lines a thing has that is entered; 1 of what has none. */
function linesIn(thing: unknown): number {
  const lines = typeof thing === 'object' && thing !== null && 'lines' in thing ? thing.lines : undefined
  return Array.isArray(lines) ? Math.max(1, lines.length) : 1
}

/** What is said of each line of a question, beneath a cost that counts its lines. */
export const ONE_A_LINE: Cost = { field: 1, multiplier: 1 }

/** What is said of each day and pack, beneath a cost that counts these. */
export const ONE_A_CELL = ONE_A_LINE

/** Some tens of trials for the answer to one line, such as why it is late. */
export const EXPLAINED_LINE: Cost = { field: PLACED_LINE, multiplier: 3 }

/** What else could be had instead of a line: `most` answers of one entry each. */
export const alternativesOfLine = (most: number): Cost => ({ field: ALTERNATIVES_OF_A_LINE, multiplier: most })

/** A cell for each day and pack; `most` of them where they are not named. What is beneath it counts once a cell. */
export function costOfAvailability(
  { from, to, packs }: { from: string; to: string; packs?: readonly unknown[] | null },
  most: { days: number; packs: number },
): Cost {
  const cells = Math.min(daysIn({ from, to }, most.days), most.days) * (packs?.length ?? most.packs)
  return { field: cells, multiplier: Math.max(1, cells) }
}

/** What follows from a plan. */
export const OF_PLAN_VIEW: Cost = { field: PLAN_VIEW, multiplier: 1 }

/** What is said of a span of a vessel, beneath a cost that counts these. */
export const ONE_A_SPAN = ONE_A_LINE

/** What two plans decide otherwise: both are read. */
export const OF_TWO_PLAN_VIEWS: Cost = { field: 2 * PLAN_VIEW, multiplier: 1 }

/** What follows from a plan day by day. */
export function costOfDays(span: Span): Cost {
  return { field: PLAN_VIEW, multiplier: daysIn(span, MOST_HORIZON) * THINGS_A_DAY }
}

/** What vessels do in a span: the spans of each are counted here, with the vessel. */
export function costOfTimelines(span: Span): Cost {
  return { field: PLAN_VIEW, multiplier: USUAL_VESSELS * Math.ceil(daysIn(span, MOST_HORIZON) / DAYS_OF_A_SPAN) }
}

/** What a field costs that does not say: a page by what is asked for, another list by its usual length. */
export function usualCost(
  { first, last }: { first?: unknown; last?: unknown },
  { isEdges, isList, isPage }: { isEdges: boolean; isList: boolean; isPage: boolean },
): Partial<Cost> {
  if (isList) return { multiplier: isEdges ? 1 : LIST_LENGTH }
  if (!isPage) return {}
  const asked = Number(first ?? last ?? DEFAULT_PAGE)
  return { multiplier: Math.min(Math.max(asked, 1), MAX_PAGE) }
}

interface Span {
  from?: string | null
  to?: string | null
}

/** Days of a span, 1 to `most`; `most` where an end is not given or is no day, so that the field itself refuses it. */
function daysIn({ from, to }: Span, most: number): number {
  const [first, last] = [localDate.safeParse(from).data, localDate.safeParse(to).data]
  if (first === undefined || last === undefined) return most
  return Math.min(Math.max(dayNumber(last) - dayNumber(first) + 1, 1), most)
}
