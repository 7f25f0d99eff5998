// What a batch needs in its fermenter besides what the plan decides: gravities until fermentation is proven, dry hops, the crash.

/** Readings are due from so many days before the expected end of fermentation (common practice). */
const DAYS_BEFORE_THE_END = 1
const HOUR = 3_600_000
const DAY = 24 * HOUR

/** A batch in a fermenter that is not ready yet. */
export interface FermentingBatch {
  /** When its crash is expected to end, in RFC 3339. */
  readyAt: string
  restHours: number
  dryHopHours: number
  crashHours: number
  /** Whether gravities have proven that it has fermented. */
  isProven: boolean
  isDryHopped: boolean
  isCrashed: boolean
}

/** What is due by an instant: the end of the day that a sheet is for. */
export interface DueInCellar {
  kind: 'READING' | 'DRY_HOP' | 'CRASH'
  /** The instant at which it was expected. */
  at: Date
}

/**
 * What is due at a batch up to an instant: each step from its expected time on until a fact says it. The steps go backwards
 * from the day on which it is ready: crash, dry hopping, rest, and before that fermentation (T1).
 */
export function dueInCellar(batch: FermentingBatch, until: Date): DueInCellar[] {
  const ready = new Date(batch.readyAt).getTime()
  const crash = ready - batch.crashHours * HOUR
  const hops = crash - batch.dryHopHours * HOUR
  const fermented = hops - batch.restHours * HOUR
  const isDue = (at: number) => at < until.getTime()
  if (batch.isCrashed) return []
  const due: DueInCellar[] = []
  const reading = fermented - DAYS_BEFORE_THE_END * DAY
  if (!batch.isProven && isDue(reading)) due.push({ kind: 'READING', at: new Date(reading) })
  if (batch.dryHopHours > 0 && !batch.isDryHopped && isDue(hops)) due.push({ kind: 'DRY_HOP', at: new Date(hops) })
  if (isDue(crash)) due.push({ kind: 'CRASH', at: new Date(crash) })
  return due
}
