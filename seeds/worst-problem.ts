// The worst problems that the API lets in: every line may leave on any day of any route of its account, and may be served on any day from then on.
import { addDays, type Problem } from '../src/planner/documents/index.ts'
import { sizedProblem } from './sized-problem.ts'

export interface WorstOptions {
  lines: number
  vessels: number
  days: number
  /** Routes of every account. */
  routes: number
  seed: number
}

const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7]
/** More days than plans reach. */
const ANY_TIME = 1100

/**
 * A realistic problem of the size (sized-problem.ts), of which nothing limits when a line leaves: each account is served by all
 * routes, which run daily from the sites in turn, it takes beer on every day and as early as it comes, and each line may be
 * served up to the last day of the plan.
 */
export function worstProblem({ lines, vessels, days, routes: count, seed }: WorstOptions): Problem {
  const problem = sizedProblem({ lines, vessels, days, seed })
  const last = addDays(problem.today, days - 1)
  const routes = Array.from({ length: count }, (_, index) => ({
    ...problem.routes[index % problem.routes.length]!,
    id: `any-${index}`,
    weekdays: EVERY_DAY,
    siteId: problem.sites[index % problem.sites.length]!.id,
    closedOn: [],
  }))
  const routeIds = routes.map(({ id }) => id)
  return {
    ...problem,
    routes,
    accounts: problem.accounts.map((account) => ({
      ...account,
      ...{ routeIds, receivesWeekdays: EVERY_DAY, minDaysOnSale: 0, maxEarlyDays: ANY_TIME },
    })),
    orderLines: problem.orderLines.map((line) => ({ ...line, latestServeOn: last, placedAt: undefined })),
  }
}
