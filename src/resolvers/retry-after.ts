// When one who is refused because others wait should come again.

/**
 * The longest such time, in seconds; the same as after an outage. One batch or turn may have taken far longer than the next ones will, as
 * the first of a process does, which loads what the others find in memory.
 */
export const MOST_RETRY_SECONDS = 5

/** Seconds until those before one have had their turns, `together` at a time of `milliseconds` each: whole ones, from 1 on. */
export function secondsUntilTurn(before: number, together: number, milliseconds: number): number {
  const estimate = Math.ceil((before / together) * (milliseconds / 1000))
  return Math.min(Math.max(1, estimate), MOST_RETRY_SECONDS)
}
