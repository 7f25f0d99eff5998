// The door to the documents: the shapes of problem and plan, days, faults, changes and differences.
export type { CutOff } from '../calendar/cut-off.ts'
export {
  addDays,
  dayNumber,
  dayWords,
  instantOf,
  isoWeekday,
  type LocalDate,
  laterOf,
  localDateOf,
  minuteOfDay,
  wallClock,
} from '../calendar/days.ts'
export { instantAfter, instantAt } from '../calendar/instants.ts'
export { brewsOf } from './brews.ts'
export { applyChanges } from './changes/apply-changes.ts'
export type { ProblemChange, Without } from './changes/problem-change.ts'
export { mostBrews, mostLitres, mostMinutes, mostTransfers } from './day-limits.ts'
export {
  type AccountDocument,
  type BatchDocument,
  type BeerDocument,
  type ContainerTypeDocument,
  type FillerDocument,
  type FleetDocument,
  lineWithDefaults,
  type OrderLineDocument,
  type PackDocument,
  type RouteDocument,
  type SiteDocument,
  type VesselDocument,
  withDefaults,
} from './defaults.ts'
export { type DeliveredLine, deliveredByLine } from './delivered-by-line.ts'
export { minutesEach, setupMinutes } from './filling-minutes.ts'
export { firstDispatchDays } from './first-dispatch-days.ts'
export { firstServes, notBroughtForward } from './frozen-promises.ts'
export { localDate } from './local-date.ts'
export { FAULT_ACTIONS, type Fault, type FaultCode, writePath } from './parse/faults.ts'
export { pathInWords } from './parse/path-words.ts'
export { isTimeZone } from './parse/setup-faults.ts'
export { shapeFaults } from './parse/shape-faults.ts'
export { partitionPoint } from './partition-point.ts'
export { byId, byLine, deltaBetween, joinedDeltas, type PlanDelta, unshared, withPartsOf } from './plan-delta.ts'
export {
  type Account,
  type Batch,
  type Beer,
  COST_TERMS,
  type ContainerType,
  type Costs,
  type CostTerm,
  costsShape,
  DEFAULT_COSTS,
  type Filler,
  type Fleet,
  NO_COST,
  type OrderLine,
  type Pack,
  type Plan,
  type Problem,
  type ProblemDocument,
  planShape,
  problemShape,
  type Route,
  type Site,
  type StockLot,
  type Store,
  type Vessel,
} from './problem.ts'
export type { Reason } from './reason.ts'
export { REASON_CODES, REASON_PARAMS, type ReasonCode } from './reason-codes.ts'
export type { ReliefCode } from './relief-units.ts'
export { type ReasonRule, RULE_TITLES, type RuleNumber } from './rule-numbers.ts'
export { withoutLines } from './without-lines.ts'
