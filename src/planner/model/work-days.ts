// On which days a site works (T2): the latest that serves, and those on which one more transfer may start (V11).
import type { State } from './state.ts'

/** Latest brew or fill day from `day` down to `floor`, by a table of them; -1 where there is none. */
export function latest(by: Int32Array, day: number, floor: number): number {
  if (day < 0) return -1
  const found = by[Math.min(day, by.length - 1)]
  return found >= floor ? found : -1
}

/** May one more transfer start at a site on a day (T2, V11)? */
export function mayTransferOn({ model, transfersUsed }: State, site: number, day: number): boolean {
  const { fillOn, transfersPerDay } = model.sites[site]
  return fillOn[day] === 1 && transfersUsed[site][day] < transfersPerDay
}

/** Latest day from `day` down to `floor` on which one more transfer may start at a site (T2, V11); -1 where there is none. */
export function latestTransferDay(state: State, site: number, day: number, floor: number): number {
  const { fillBy, transfersPerDay } = state.model.sites[site]
  const used = state.transfersUsed[site]
  let found = latest(fillBy, day, floor)
  while (found >= 0 && used[found] >= transfersPerDay) found = latest(fillBy, found - 1, floor)
  return found
}
