// Which dispatch days an order still catches, by the cut-offs of its account's routes.
import { firstDispatchDay } from '../calendar/cut-off.ts'
import type { Problem } from './problem.ts'

/**
 * By route of the account that has a cut-off: the first day, as a day number, that an order placed at an instant catches
 * (B6). Two instants with the same answer are the same to the planner.
 */
export function firstDispatchDays(problem: Problem, accountId: string, placedAt: string): number[] {
  const routeIds = problem.accounts.find(({ id }) => id === accountId)?.routeIds ?? []
  return problem.routes.flatMap(({ id, siteId, cutOff }) => {
    const zone = problem.sites.find((site) => site.id === siteId)?.timeZone
    return cutOff && zone !== undefined && routeIds.includes(id) ? [firstDispatchDay(placedAt, zone, cutOff)] : []
  })
}
