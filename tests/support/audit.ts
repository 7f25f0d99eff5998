// Looks at every change of a plan that is kept open: what is reported of it, what it costs, and whether it would be the same
// had it been opened from its document.
import { expect } from 'vitest'
import type { Plan } from '../../src/planner/documents/index.ts'
import { withDelta } from '../../src/planner/documents/plan-delta.ts'
import { checkPlan, planCost } from '../../src/planner/index.ts'
import { carryForward } from '../../src/planner/live/carry-forward.ts'
import { LivePlan, type Proposal } from '../../src/planner/live/live-plan.ts'
import { openLivePlan } from '../../src/planner/live/open-live-plan.ts'

/** A plan without its cost and the order of its lists; `keys` puts the keys of objects in order. */
function unordered({ cost: _, ...plan }: Plan, keys?: typeof keysInOrder): unknown {
  const sorted = (list: readonly unknown[]) => list.map((each) => JSON.stringify(each, keys)).sort()
  return Object.fromEntries(Object.entries(plan).map(([name, list]) => [name, sorted(list)]))
}

/** Two plans decide the same, in any order. Putting keys in order takes long: most plans are alike without. */
export function expectSame(one: Plan, other: Plan): void {
  if (JSON.stringify(unordered(one)) === JSON.stringify(unordered(other))) return
  expect(unordered(one, keysInOrder)).toEqual(unordered(other, keysInOrder))
}

/** Lines that have run out of time are explained anew whenever a plan is opened. */
export function unexplained(plan: Plan): Plan {
  const bare = <T extends { reasons: unknown }>(list: readonly T[]) => list.map((each) => ({ ...each, reasons: [] }))
  return {
    ...plan,
    unserved: bare(plan.unserved),
    late: bare(plan.late ?? []),
    brokenPromises: bare(plan.brokenPromises ?? []),
  }
}

function keysInOrder(_: string, value: unknown): unknown {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
    : value
}

function audit(before: LivePlan, { delta, next, inPlace }: Proposal): void {
  const { plan } = next
  const problem = { ...next.problem, baseline: plan }
  expectSame(withDelta(before.plan, delta), plan)
  expect(delta.cost).toEqual(plan.cost)
  const cost = planCost(problem, plan)
  expect(Math.abs(cost.total - plan.cost.total)).toBeLessThan(0.01 + 1e-6 * cost.total)
  expect(checkPlan(problem, plan).violations).toEqual([])
  // What was frozen or fixed before is so still (F1).
  const since = checkPlan({ ...problem, baseline: before.plan }, plan).violations
  if (inPlace) expect(since.filter(({ rule }) => rule !== 'COST')).toEqual([])
  expect(carryForward(problem, plan).plan).toBe(plan)
  const anew = openLivePlan(problem, plan)
  expectSame(unexplained(anew.plan), unexplained(plan))
}

/**
 * Has proposals of all plans that are kept open looked at, until the answer is called: every one, or the first of every so
 * many. It takes as long as opening a plan anew.
 */
export function auditProposals(every = 1): () => void {
  const { propose, lessen } = LivePlan.prototype
  let proposals = 0
  const audited = (before: LivePlan, proposal: Proposal) => {
    if (proposals++ % every === 0) audit(before, proposal)
    return proposal
  }
  LivePlan.prototype.propose = function (...asked) {
    return audited(this, propose.apply(this, asked))
  }
  LivePlan.prototype.lessen = function (...asked) {
    return audited(this, lessen.apply(this, asked))
  }
  return () => {
    Object.assign(LivePlan.prototype, { propose, lessen })
  }
}
