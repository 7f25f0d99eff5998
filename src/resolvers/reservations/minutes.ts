// How long a reservation holds.
import { z } from 'zod'

/** Most minutes that are asked for at once: a day. */
export const MOST_MINUTES = 1440

/** Most minutes from making a reservation to its end, however often it is extended: a week. */
export const MOST_MINUTES_IN_ALL = 7 * MOST_MINUTES

export const minutes = z.int().min(1).max(MOST_MINUTES)

/**
 * When a reservation ends by an act of now. The server that ends it may have a clock that is behind that of the one that made it:
 * no reservation ends before it was made.
 */
export function endedAtOf({ madeAt }: { madeAt: Date }, now: Date): Date {
  return now < madeAt ? madeAt : now
}

/** The instant that lies so many minutes after another. */
export function endOf(from: Date, count: number): Date {
  return new Date(from.getTime() + count * 60_000)
}
