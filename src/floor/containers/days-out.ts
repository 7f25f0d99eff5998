// After how many days an account's containers are expected back: what it really does, under a stated prior.

/** So many containers took so many days from serving until they were back. */
export interface DaysOut {
  days: number
  quantity: number
}

/** Containers for which the account's `returnDays` of the set-up speak, beside those that really came back (from memory). */
export const PRIOR_CONTAINERS = 10

/** Share of the containers that are back by the expected day (from memory). */
const BACK_BY_THEN = 0.8

/**
 * The days from serving until 80 of 100 containers are back: the smallest number of whole days that covers this share of the
 * observed containers and of the prior's together. Without `returnDays` there is no prior: undefined until as many have come
 * back as a prior would weigh.
 */
export function expectedDaysOut(returnDays: number | undefined, observed: readonly DaysOut[]): number | undefined {
  const seen = observed.reduce((sum, { quantity }) => sum + quantity, 0)
  if (returnDays === undefined && seen < PRIOR_CONTAINERS) return undefined
  const prior = returnDays === undefined ? [] : [{ days: returnDays, quantity: PRIOR_CONTAINERS }]
  const all = [...observed, ...prior].sort((a, b) => a.days - b.days)
  let left = BACK_BY_THEN * all.reduce((sum, { quantity }) => sum + quantity, 0)
  for (const { days, quantity } of all) {
    left -= quantity
    // Shares of whole containers: what rounding leaves counts as nothing.
    if (left <= 1e-9) return days
  }
  return undefined
}
