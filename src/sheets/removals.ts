// What left the brewery: containers by kind of movement, beer, container and strength, with litres and US beer barrels (27 CFR 25.156).
import type { LocalDate } from '../planner/documents/index.ts'
import type { SheetMaking } from './sheet-head.ts'
import type { Strength } from './strength.ts'
import { barrelsOf, barrelsOfDay } from './volumes.ts'

/** How beer left, or came back. */
export const REMOVAL_KINDS = ['DISPATCHED', 'RETURNED', 'ISSUED', 'DESTROYED'] as const
export type RemovalKind = (typeof REMOVAL_KINDS)[number]

/** Containers of one lot that moved; whole containers, fewer than none where a correction took more back. */
export interface Removed {
  kind: RemovalKind
  isAssumed: boolean
  beerId: string
  containerTypeId: string
  /** Nominal litres of one container. */
  litresEach: number
  /** Absent: not known. */
  strength?: Strength | undefined
  quantity: number
}

export interface RemovalLine extends Removed {
  litres: number
  /** US beer barrels, to five decimals. */
  barrels: number
}

/** What left for orders less what came back: what was said, and what was assumed, apart. */
export interface RemovalTotals {
  litres: number
  /** US beer barrels, rounded to two decimals as a sum (27 CFR 25.156). */
  barrels: number
}

export interface Removals extends SheetMaking {
  from: LocalDate
  to: LocalDate
  /** Whether the whole of it lies in closed periods, so that it changes no more. */
  isClosed: boolean
  lines: RemovalLine[]
  /** By kind; a kind without lines is not there. */
  totals: (RemovalTotals & { kind: RemovalKind; isAssumed: boolean })[]
}

/** The report's lines and totals; lines of the same kind, beer, container and strength are one. */
export function removalsOf(moved: readonly Removed[]): Pick<Removals, 'lines' | 'totals'> {
  const byKey = new Map<string, Removed>()
  for (const each of moved) {
    const known = byKey.get(keyOf(each))
    byKey.set(keyOf(each), known ? { ...known, quantity: known.quantity + each.quantity } : { ...each })
  }
  const lines = [...byKey.entries()]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([, each]) => each)
    .filter(({ quantity }) => quantity !== 0)
    .map((each) => ({ ...each, litres: each.quantity * each.litresEach, barrels: barrelsOf(each) }))
  return { lines, totals: totalsOf(lines) }
}

function keyOf({ kind, isAssumed, beerId, containerTypeId, strength }: Removed): string {
  const { abv = null, isExpected = null } = strength ?? {}
  return JSON.stringify([REMOVAL_KINDS.indexOf(kind), isAssumed ? 1 : 0, beerId, containerTypeId, abv, isExpected])
}

function totalsOf(lines: readonly RemovalLine[]): Removals['totals'] {
  return REMOVAL_KINDS.flatMap((kind) =>
    [false, true].flatMap((isAssumed) => {
      const own = lines.filter((line) => line.kind === kind && line.isAssumed === isAssumed)
      if (own.length === 0) return []
      const litres = own.reduce((sum, line) => sum + line.litres, 0)
      return [{ kind, isAssumed, litres, barrels: barrelsOfDay(own) }]
    }),
  )
}
