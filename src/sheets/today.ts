// Everything that is due at a site on a day, in the order in which a day goes, each with the fact that says that it is done.
import type { FactKind } from '../floor/facts/fact.ts'
import type { LocalDate } from '../planner/documents/index.ts'
import { type Caution, cautionsOf } from './cautions.ts'
import type { SheetHead } from './sheet-head.ts'

/** What is due, in the order of the day (T4; readings and cellar work stand before the fills, common practice). */
export const TODAY_KINDS = [
  'READING',
  'BREW',
  'DRY_HOP',
  'CRASH',
  'FILL_FROM_FERMENTER',
  'DUMP',
  'TRANSFER',
  'FILL_FROM_BRIGHT',
  'CLEAN_VESSEL',
  'LOAD',
  'WASH',
  'MOVE_BEER',
] as const
export type TodayKind = (typeof TODAY_KINDS)[number]

/** The kinds of fact that say that work is done. */
export const SAID_BY: Readonly<Record<TodayKind, readonly FactKind[]>> = {
  READING: ['READING'],
  BREW: ['BREWED'],
  DRY_HOP: ['DRY_HOPPED'],
  CRASH: ['CRASH_BEGUN'],
  FILL_FROM_FERMENTER: ['FILLED'],
  DUMP: ['DUMPED'],
  TRANSFER: ['TRANSFERRED'],
  FILL_FROM_BRIGHT: ['FILLED'],
  CLEAN_VESSEL: ['VESSEL_CLEANED'],
  LOAD: ['DISPATCHED'],
  WASH: ['WASHED'],
  MOVE_BEER: ['FILLED', 'TRANSFERRED', 'DUMPED'],
}

/** One thing that is due. Ids are of the records; those of a planned brew stand for the batch that it becomes. */
export interface DueWork {
  kind: TodayKind
  /** The planned decision that it carries out. */
  decisionId?: string
  batchId?: string
  beerId?: string
  vesselId?: string
  toVesselId?: string
  fillerId?: string
  packId?: string
  routeId?: string
  containerTypeId?: string
  /** Whole containers. */
  quantity?: number
  litres?: number
  /** The day on which it was due, where that was before the day of the sheet. */
  since?: LocalDate
  /** The last day for it. */
  by?: LocalDate
  /** The fact that says that it was done. */
  done?: { factId: string; isAssumed: boolean }
}

export interface Today extends SheetHead {
  work: DueWork[]
  /** Facts that were assumed, or are due, and wait to be confirmed. */
  toConfirm: number
  cautions: Caution[]
}

export interface TodayInput extends Pick<Today, 'work' | 'toConfirm'> {
  head: SheetHead
}

/** Puts the page of the day together. */
export function todaySheet({ head, work, toConfirm }: TodayInput): Today {
  return { ...head, work: inOrderOfDay(work), toConfirm, cautions: cautionsOfDay(work) }
}

/** The cautions of a day's work; none where there is none. Weights stand on the sheets of fills and loads. */
function cautionsOfDay(work: readonly DueWork[]): Caution[] {
  if (work.length === 0) return []
  const has = (...kinds: TodayKind[]) => work.some(({ kind }) => kinds.includes(kind))
  const fills = has('FILL_FROM_FERMENTER', 'FILL_FROM_BRIGHT')
  return cautionsOf({
    draws: fills || has('TRANSFER', 'DUMP'),
    cleans: has('CLEAN_VESSEL', 'WASH'),
    closesCasks: fills,
    opensReturned: has('WASH'),
    ...{ purges: false, primes: false, isUnfinished: false, handled: [] },
  })
}

/** In the order of the day; what is done stands behind what is still to be done of its kind. */
function inOrderOfDay(work: readonly DueWork[]): DueWork[] {
  const place = ({ kind, done, by, since }: DueWork) =>
    [TODAY_KINDS.indexOf(kind), done ? 1 : 0, by ?? since ?? ''] as const
  return [...work].sort((a, b) => {
    const [one, other] = [place(a), place(b)]
    return one[0] - other[0] || one[1] - other[1] || (one[2] < other[2] ? -1 : one[2] > other[2] ? 1 : 0)
  })
}
