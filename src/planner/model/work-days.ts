// On which days a site works (T2): tables of the latest working day, and searches in them.

/** Latest brew or fill day from `day` down to `floor`, by a table of them; -1 where there is none. */
export function latest(by: Int32Array, day: number, floor: number): number {
  if (day < 0) return -1
  const found = by[Math.min(day, by.length - 1)]
  return found >= floor ? found : -1
}

/** First marked day from `from` on; -1 where there is none. */
export function nextOn(on: Uint8Array, from: number): number {
  for (let day = Math.max(0, from); day < on.length; day++) if (on[day]) return day
  return -1
}
