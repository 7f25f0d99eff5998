// A plan that is open follows what has happened: what draws from changed beer, stock or containers is lifted, the compiled problem is
// changed in place, and those lines are put where the plan says. It makes the same of the plan as opening it anew does, sooner.
import { costIfValid } from '../checker/check-plan.ts'
import { verifyPlan } from '../checker/verify-plan.ts'
import { deliveredByLine } from '../documents/delivered-by-line.ts'
import { firstServes, servedNotBefore } from '../documents/frozen-promises.ts'
import { deltaBetween } from '../documents/plan-delta.ts'
import type { OrderLine, Plan, Problem } from '../documents/problem.ts'
import { isSameSetup } from '../documents/same-setup.ts'
import { explainer, PLAN_RELIEFS } from '../explanation/explain.ts'
import { reuseReasons } from '../explanation/reuse-reasons.ts'
import { byBirth, runKey } from '../model/batch.ts'
import { compileLine } from '../model/compile.ts'
import type { State } from '../model/state.ts'
import { isWithinLimits } from '../model/within-limits.ts'
import { fixedIdsOf, verdictsOf } from '../opening/export.ts'
import { loadFixed, type Moved } from '../opening/fixed.ts'
import { freeTransfer, holdBrew, holdRun } from '../opening/fixed-steps.ts'
import { followRecords, takeAway } from '../opening/follow-records.ts'
import { loadPlan } from '../opening/load-plan.ts'
import { type Concerned, concernedBy, type Planned } from './concerned.ts'
import { type DecisionNames, knowDecisions, namesOfDecisions } from './decision-names.ts'
import type { LivePlan } from './live-plan.ts'
import type { LiveState } from './live-state.ts'
import { withLostAgain } from './lost-again.ts'
import type { PlanEdit } from './plan-edit.ts'
import { settleTransfers } from './stock.ts'

/**
 * The open plan as `plan`, for the problem as it is since facts were recorded; lines that it lost are placed anew, as `openLivePlan` does.
 * Whether the plan keeps all rules `isValid` says to who knows it already; else a plan that the state says just so keeps them, and its
 * cost is that of the state. Undefined where it is to be opened anew: the set-up is another, or more is asked of fleets, stores or days
 * than there is, so that other lines have to make room.
 */
export function followPlan(from: LivePlan, problem: Problem, plan: Plan, isValid?: boolean): LivePlan | undefined {
  if (!isSameSetup(from.problem, problem)) return undefined
  const before = { problem: from.problem, plan: from.plan }
  let found: Followed | undefined
  const next = from.changedBy((live, edit) => {
    found = followed(live, edit, before, { problem, plan })
    return found && { ...problem, baseline: undefined }
  })
  if (!next || !found) return undefined
  const { lost, moved, names } = found
  if (lost.length === 0) {
    const cost = isValid ? plan.cost : isValid === undefined ? costOfValid(next, problem, plan) : undefined
    if (cost) return next.heldAs(cost === plan.cost ? plan : { ...plan, cost })
  }
  const whole = lost.length === 0 ? next : withLostAgain(next, { problem, plan }, lost, names)
  return whole.heldAs(verifyPlan({ ...problem, baseline: plan }, { ...whole.plan, moved }))
}

/** What the plan costs; undefined where it breaks a rule. What the state says just so is not checked once more. */
function costOfValid(next: LivePlan, problem: Problem, plan: Plan): Plan['cost'] | undefined {
  return decidesSame(next.plan, plan) ? next.plan.cost : costIfValid({ ...problem, baseline: plan }, plan)
}

/** Whether two plans decide the same, and list the same lines as late, unserved or broken. */
function decidesSame(a: Plan, b: Plan): boolean {
  const { moved: _, cost: __, ...lists } = deltaBetween(withoutReasons(a), withoutReasons(b))
  return Object.values(lists).every(({ gone, put }) => gone.length === 0 && put.length === 0)
}

function withoutReasons(plan: Plan): Plan {
  const bare = <Each extends { reasons: unknown }>(list: readonly Each[] = []) =>
    list.map((each) => ({ ...each, reasons: [] }))
  return { ...plan, unserved: bare(plan.unserved), late: bare(plan.late), brokenPromises: bare(plan.brokenPromises) }
}

interface Followed {
  lost: OrderLine[]
  /** Decisions that were to stay and could not (F1). */
  moved: Moved[]
  /** Those of the plan, among which lines that it lost may find their own again. */
  names: DecisionNames
}

/** Brings the state to the plan as far as that holds. Undefined where it cannot be brought to it so; then the edit is to be undone. */
function followed(live: LiveState, edit: PlanEdit, before: Planned, after: Planned): Followed | undefined {
  const { state } = live
  const { problem, plan } = after
  if ([...fixedIdsOf(plan)].some((id) => !live.fixedIds.has(id))) return undefined
  const concerned = concernedBy(state, before, after)
  const stocked = lift(state, edit, concerned)
  if (!followRecords(edit, problem, plan, concerned.come)) return undefined
  const names = namesOfDecisions(state, concerned.part)
  if (!names) return undefined
  knowDecisions(state, edit, names)
  const part = withStock(concerned.part, stocked)
  exchangeLines(state, edit, concerned, { problem, plan: part })
  const { moved } = loadFixed(edit, concerned.held)
  loadPlan(edit, part, { forgone: true })
  edit.settle()
  const transfers = new Map(part.transfers.map((each) => [each.batchId, each]))
  settleTransfers(
    state,
    edit,
    (batch) => live.parts.get(batch)?.transfer ?? transfers.get(state.identity(batch).id ?? ''),
  )
  if (!isWithinLimits(state)) return undefined
  const lost = lostLines(state, problem, part)
  conclude(live, edit, concerned, part, new Set(lost.map(({ id }) => id)))
  if (lost.length > 0) knowDecisions(state, edit, names)
  return { lost, moved, names }
}

/** Takes out all that is concerned. Answers the stock, by run, that was taken out of batches that keep what else is drawn from them. */
function lift(state: State, edit: PlanEdit, { lines, batches, gone, taken }: Concerned): Map<string, number> {
  const stocked = new Map<string, number>()
  for (const { index } of lines) {
    const placement = state.placements[index]
    if (placement) edit.lift(placement)
  }
  for (const surplus of [...state.surpluses]) {
    const { batch, filler, day, pack, quantity } = surplus
    const run = batch.runAt.get(runKey(state.model, filler, day, pack))
    if (batches.has(batch)) {
      if (run?.fixed) holdRun(edit, surplus, false)
      edit.unstock(surplus)
      continue
    }
    const id = state.baseline.runs.get(`${state.identity(batch).id}|${filler}|${pack}|${day}`) ?? ''
    if (!run || run.fixed || !taken.has(id)) continue
    stocked.set(id, (stocked.get(id) ?? 0) + quantity)
    edit.unstock(surplus)
  }
  for (const batch of batches) {
    if (batch.transferFixed) freeTransfer(edit, batch)
    if (batch.fixed) holdBrew(edit, batch, false)
  }
  for (const batch of gone) takeAway(edit, batch)
  edit.settle()
  return stocked
}

function withStock(plan: Plan, stocked: ReadonlyMap<string, number>): Plan {
  if (stocked.size === 0) return plan
  const fillRuns = plan.fillRuns.map((run) => ({ ...run, quantity: run.quantity + (stocked.get(run.id) ?? 0) }))
  return { ...plan, fillRuns }
}

/** Lines that are wanted or delivered otherwise are compiled anew; none of them is placed. */
function exchangeLines(
  state: State,
  edit: PlanEdit,
  { lines, otherLines }: Concerned,
  { problem, plan: { deliveries } }: Planned,
): void {
  for (const line of lines) if (otherLines.has(line.id)) edit.leave(line)
  const first = firstServes(deliveries)
  for (const wanted of problem.orderLines) {
    if (!otherLines.has(wanted.id)) continue
    edit.enter(compileLine(state.model, wanted, servedNotBefore(problem, wanted, first.get(wanted.id))))
  }
}

/** The lines of which less is served than the plan says. */
function lostLines({ placements, model }: State, { orderLines }: Problem, { deliveries }: Plan): OrderLine[] {
  const served = deliveredByLine(deliveries)
  return orderLines.filter(({ id }) => {
    const delivered = placements[model.indexOf.line.get(id) ?? -1]?.delivered ?? 0
    return delivered < (served.get(id)?.quantity ?? 0)
  })
}

/** Makes what is there now what the plan says of batches and lines; what lost lines lack is explained once they are placed. */
function conclude(
  live: LiveState,
  edit: PlanEdit,
  { lines, otherLines }: Concerned,
  part: Plan,
  lost: ReadonlySet<string>,
): void {
  const { state, verdicts } = live
  const explain = reuseReasons(state, part, explainer(state, PLAN_RELIEFS))
  for (const id of new Set([...[...lines].map((line) => line.id), ...otherLines])) {
    const line = state.model.lines[state.model.indexOf.line.get(id) ?? -1]
    const said = line ? verdictsOf(state, line, (each) => (lost.has(each.id) ? [] : explain(each))) : {}
    edit.put(verdicts, id, Object.keys(said).length > 0 ? said : undefined)
  }
  edit.settle()
  live.settle(edit, live.partChanges([...edit.touched].sort(byBirth)))
}
