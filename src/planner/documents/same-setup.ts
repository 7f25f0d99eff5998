// Whether two problems differ in nothing but what facts change.
import { isSameValue } from './plan-delta.ts'
import type { Problem } from './problem.ts'

/**
 * Whether two problems of one day have the same set-up, but for what is left of its days, vessels that were emptied or are out of service, and
 * containers that are clean and that come back. Beer, stock, order lines and the baseline are not looked at.
 */
export function isSameSetup(a: Problem, b: Problem): boolean {
  return isSameValue(lasting(a), lasting(b))
}

/** The set-up without what facts change of it. */
function lasting(problem: Problem): object {
  const { batches: _, stock: __, orderLines: ___, baseline: ____, ...setup } = problem
  return {
    ...setup,
    sites: setup.sites.map(({ brewsOn: _1, transfersOn: _2, ...site }) => site),
    vessels: setup.vessels.map(({ availableFrom: _1, outOfService: _2, ...vessel }) => vessel),
    fillers: setup.fillers.map(({ minutesOn: _1, ...filler }) => filler),
    routes: setup.routes.map(({ capacityLitresOn: _1, ...route }) => route),
    accounts: setup.accounts.map(({ returnDays: _1, ...account }) => account),
    fleets: setup.fleets.map(({ cleanNow: _1, returns: _2, ...fleet }) => fleet),
  }
}
