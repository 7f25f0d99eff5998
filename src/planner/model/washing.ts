// L4: which wash groups each filler draws day by day, and the minutes that washing between them takes.
import type { Model } from './model.ts'

/** What one filler draws by day; counted in set-ups, so that taking one back is the exact inverse of adding it. */
export interface Washing {
  /** Set-ups by day and wash group. */
  readonly setups: Int32Array
  /** Wash groups by day. */
  readonly groups: Int32Array
  /** Wash groups that the beers have between them. */
  readonly size: number
}

/** One for each filler; undefined where washing cannot bind: it takes no time, or all beers are of one group. */
export function washingOf({ beers, fillers, horizon }: Model): (Washing | undefined)[] {
  const size = Math.max(0, ...beers.map(({ washGroup }) => washGroup)) + 1
  return fillers.map(({ washMinutes }) =>
    washMinutes === 0 || size === 1
      ? undefined
      : { setups: new Int32Array(horizon * size), groups: new Int32Array(horizon), size },
  )
}

/** Does a first set-up of a group on a day make one wash more (L4)? */
export function needsWash(washing: Washing, group: number, day: number): boolean {
  return washing.groups[day] > 0 && washing.setups[day * washing.size + group] === 0
}

/** Counts a set-up of a group that came, or one that went; answers by how many washes the day has more (L4). */
export function countSetup(washing: Washing, group: number, day: number, sign: 1 | -1): number {
  const { setups, groups, size } = washing
  const at = day * size + group
  const before = Math.max(0, groups[day] - 1)
  setups[at] += sign
  if (setups[at] === (sign > 0 ? 1 : 0)) groups[day] += sign
  return Math.max(0, groups[day] - 1) - before
}
