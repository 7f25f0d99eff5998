// Containers of one kind are alike: those that came to a place first are taken to leave it first.
import { addDays, dayNumber, type LocalDate } from '../../planner/documents/index.ts'
import type { DaysOut } from './days-out.ts'

/** What came to an account, or left it, on a day. */
export interface AccountMove {
  day: LocalDate
  /** FOUND: it came without a delivery that is known. GONE: it left without having come back to the site. */
  kind: 'CAME' | 'FOUND' | 'RETURNED' | 'GONE'
  quantity: number
  /** Of what came: days from the delivery until it is served. */
  settleDays: number
}

/** Containers that are at an account. */
export interface AtAccount {
  /** The day on which they came. Absent: before the first move that is known. */
  since?: LocalDate
  /** The day on which their beer is served. Absent with `since`. */
  servedOn?: LocalDate
  quantity: number
}

const ORDER = { CAME: 0, FOUND: 1, RETURNED: 2, GONE: 3 } as const

/**
 * What stands at an account that holds `held` after the moves, oldest first, and how long those that came back took. What it
 * held before the moves leaves first. The quantities that stand add up to `held`.
 */
export function followAccount(
  held: number,
  moves: readonly AccountMove[],
): { standing: AtAccount[]; observed: DaysOut[] } {
  const isIn = ({ kind }: AccountMove) => kind === 'CAME' || kind === 'FOUND'
  const before = moves.reduce((sum, move) => sum - (isIn(move) ? 1 : -1) * move.quantity, held)
  const queue: (AtAccount & { found: boolean })[] = before > 0 ? [{ quantity: before, found: true }] : []
  const observed: DaysOut[] = []
  // What left before it had come, as the ledger of a closed period may have it, is made good by what comes next.
  let owed = Math.max(0, -before)
  for (const move of [...moves].sort((a, b) => order(a, b))) {
    const { day, kind, settleDays } = move
    if (isIn(move)) {
      const paid = Math.min(owed, move.quantity)
      owed -= paid
      const servedOn = addDays(day, settleDays)
      if (move.quantity > paid)
        queue.push({ since: day, servedOn, quantity: move.quantity - paid, found: kind === 'FOUND' })
      continue
    }
    let left = move.quantity
    while (left > 0) {
      const first = queue[0]
      if (!first) break
      const taken = Math.min(left, first.quantity)
      left -= taken
      first.quantity -= taken
      if (first.quantity === 0) queue.shift()
      if (kind === 'RETURNED' && !first.found && first.servedOn !== undefined)
        observed.push({ days: Math.max(0, dayNumber(day) - dayNumber(first.servedOn)), quantity: taken })
    }
    owed += left
  }
  return { standing: queue.map(({ found: _, ...each }) => each), observed }
}

function order(a: AccountMove, b: AccountMove): number {
  if (a.day !== b.day) return a.day < b.day ? -1 : 1
  return ORDER[a.kind] - ORDER[b.kind]
}

/** Containers that came to a place on a day. */
export interface Arrived {
  day: LocalDate
  quantity: number
}

/** Of what arrived, what a place that holds `held` still has: the newest. What arrived before the list has no day. */
export function stillThere(held: number, arrived: readonly Arrived[]): { since?: LocalDate; quantity: number }[] {
  const standing: { since?: LocalDate; quantity: number }[] = []
  let left = held
  for (const { day, quantity } of [...arrived].sort((a, b) => (a.day < b.day ? 1 : -1))) {
    const there = Math.min(left, quantity)
    if (there > 0) standing.unshift({ since: day, quantity: there })
    left -= there
  }
  return left > 0 ? [{ quantity: left }, ...standing] : standing
}
