// How many ways there may be to bring a line to its account: the planner keeps every day of every route in memory for each open line.
import { type Issue, issue } from '../../errors.ts'

/** Routes of an account times the days that plans reach. Each takes six bytes of every line of the account (options.ts in the planner). */
export const MOST_ROUTE_DAYS = 4000

/** What is wrong with so many routes of one account where plans reach so many days; `path` names what the input says of it. */
export function routeDayFaults(routes: number, horizonDays: number, path: string): Issue[] {
  if (routes * horizonDays <= MOST_ROUTE_DAYS) return []
  const most = MOST_ROUTE_DAYS.toLocaleString('en')
  return [
    issue(
      path,
      'TOO_MANY_ROUTE_DAYS',
      `${routes} routes on ${horizonDays} days are ${(routes * horizonDays).toLocaleString('en')}, and at most ${most} may be`,
    ),
  ]
}
