// How long a reservation holds.
import { z } from 'zod'

/** Most minutes that are asked for at once: a day. */
export const MOST_MINUTES = 1440

/** Most minutes from making a reservation to its end, however often it is extended: a week. */
export const MOST_MINUTES_IN_ALL = 7 * MOST_MINUTES

export const minutes = z.int().min(1).max(MOST_MINUTES)

/** The instant that lies so many minutes after another. */
export function endOf(from: Date, count: number): Date {
  return new Date(from.getTime() + count * 60_000)
}
