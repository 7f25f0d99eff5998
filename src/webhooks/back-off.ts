// When a delivery that failed is tried again: as the Standard Webhooks specification 1.0.0 advises, over three days.

const [MINUTE, HOUR] = [60, 3600]

/** Seconds to wait after each attempt that failed; after the last one it is given up. */
export const WAITS = [5, 5 * MINUTE, 30 * MINUTE, 2 * HOUR, 5 * HOUR, 10 * HOUR, 14 * HOUR, 20 * HOUR, 24 * HOUR]

/** When to try again after so many attempts, up to a tenth later by chance (0 to 1), so that many do not come at once; undefined: never. */
export function nextAttempt(attempts: number, now: Date, chance: number): Date | undefined {
  const wait = WAITS[attempts - 1]
  return wait === undefined ? undefined : new Date(now.getTime() + wait * (1 + chance / 10) * 1000)
}
