// The planner's door: a problem in, a checked plan out; a plan that is kept open for trial placements and changes; bounds.
// The rest of src imports from here and from documents/index.ts alone.
export { BOUND_KINDS, type Bound, type BoundKind, betterBound, boundOfCost, cautious, gapOf } from './bound/bound.ts'
export { instantBound, instantValue, priceOfShared } from './bound/instant-bound.ts'
export type { LinearModel } from './bound/linear-model.ts'
export { type BoundPart, siteParts, wholePart } from './bound/parts.ts'
export { relaxationOf } from './bound/relaxation.ts'
export { safeDualBound } from './bound/safe-dual-bound.ts'
export {
  type BoundedBeer,
  beersAlone,
  type CostInParts,
  costInParts,
  MOST_LINES_NAMED,
  type Unavoidable,
  type UnavoidableBeer,
  type UnavoidableLine,
  unavoidableOf,
} from './bound/unavoidable.ts'
export { currentChanges } from './checker/baseline-changes.ts'
export { checkPlan, costIfValid } from './checker/check-plan.ts'
export { type PlanCost, planCost } from './checker/cost.ts'
export { parsePlan } from './documents/parse-plan.ts'
export { parseProblem } from './documents/parse-problem.ts'
export { exactModel } from './exact/exact-model.ts'
export { readExactPlan } from './exact/read-plan.ts'
export { startFrom } from './exact/start-from.ts'
export { servedWith } from './explanation/served-with.ts'
export type { BatchFacts, RunFacts, Stay } from './facts/cellar.ts'
export { emptyBy } from './facts/deadlines.ts'
export { deriveFacts, type Facts } from './facts/facts.ts'
export { fillerDays } from './facts/filler-days.ts'
export { fleetDays } from './facts/fleet-days.ts'
export { routeDays } from './facts/route-days.ts'
export { type Service, serviceOf } from './facts/service.ts'
export { storeDays } from './facts/store-days.ts'
export { vesselAfter } from './facts/vessel-after.ts'
export { freeFrom, isOutOfService, staysByVessel } from './facts/vessel-stays.ts'
export type { Violation } from './facts/violation.ts'
export { byUrgency, type CarriedPlan, carryForward } from './live/carry-forward.ts'
export { followPlan } from './live/follow-plan.ts'
export { type GaveWay, MOST_WISHES } from './live/give-way.ts'
export { LivePlan, type Proposal } from './live/live-plan.ts'
export { openLivePlan } from './live/open-live-plan.ts'
export { openTrial, type Trial } from './live/trial.ts'
export type { TrialAnswer } from './live/trial-answer.ts'
export { adoptPlan } from './planning/explained.ts'
export { makePlan, type PlanOutcome } from './planning/make-plan.ts'
