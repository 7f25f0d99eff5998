// A draft is brought up to records that have moved on since: orders that came, changed or went meanwhile are placed into
// it, and the checker judges the whole.
import type { OrderLine, Plan, Problem } from '../../planner/documents/index.ts'
import { deliveredByLine, firstServes, notBroughtForward, withoutLines } from '../../planner/documents/index.ts'
import { carryForward, checkPlan, currentChanges, planCost } from '../../planner/index.ts'
import type { ChangesSince } from './changes-since.ts'
import { isWorse, NOTHING } from './harm-of-plan.ts'
import type { FoundObstacle } from './obstacle-words.ts'

export interface BroughtUp {
  plan: Plan
  /** Why it must not be adopted; empty where it may. */
  obstacles: FoundObstacle[]
}

/** What has changed since a draft was begun. */
type Touched = Omit<ChangesSince, 'changes'>

/**
 * The draft for the problem as it is now, whose baseline is the plan in force. `orderIds` are orders that were placed,
 * amended or cancelled since the draft was begun, `gaveWay` lines that gave way to them: they are placed after all others. Obstacles are lines that the draft served and that no longer fit,
 * and violations of planning rules; broken promises are looked for beside it.
 */
export function bringUp(problem: Problem, draft: Plan, { orderIds, gaveWay }: Touched): BroughtUp {
  const isWish = ({ id, promisedOn }: OrderLine) => promisedOn === undefined && gaveWay.has(id)
  const isTouched = (line: OrderLine) => orderIds.has(line.orderId) || isWish(line)
  const moving = problem.orderLines.filter(isTouched).sort((a, b) => Number(isWish(a)) - Number(isWish(b)))
  const staying = problem.orderLines.filter((line) => !isTouched(line))
  const stayingIds = new Set(staying.map(({ id }) => id))
  const gone = new Set(
    [...draft.deliveries, ...draft.unserved, ...(draft.late ?? []), ...(draft.brokenPromises ?? [])]
      .map(({ orderLineId }) => orderLineId)
      .filter((id) => !stayingIds.has(id)),
  )
  const based = { ...problem, orderLines: staying }
  const opened = withoutLines(problem, flagged(draft, problem.baseline), gone)
  const first = firstServes(problem.baseline?.deliveries ?? [])
  const { plan: placed } = carryForward(based, opened).trial.commit(
    moving
      .map((line) => notBroughtForward(problem, line, first.get(line.id)))
      .map((line) => ({ ...line, latestServeOn: line.promisedOn ?? line.latestServeOn })),
  )
  const plan = currentChanges(problem, { ...placed, moved: draft.moved ?? [] })
  plan.cost = planCost(problem, plan)
  const [now, before] = [deliveredByLine(plan.deliveries), deliveredByLine(draft.deliveries)]
  // What facts took from a line they took from the plan in force as well.
  const inForce = deliveredByLine(problem.baseline?.deliveries)
  for (const id of lost(draft)) before.set(id, inForce.get(id) ?? NOTHING)
  const obstacles: FoundObstacle[] = [
    ...staying.filter(({ id }) => isWorse(now.get(id), before.get(id))).map(noLonger),
    ...checkPlan(problem, plan).violations.map(
      (violation): FoundObstacle => ({
        kind: 'RULE_BROKEN',
        // A document that names what is no longer there breaks no numbered rule.
        ...(violation.rule === 'DOCUMENT' ? {} : { rule: violation.rule }),
        violation,
      }),
    ),
  ]
  return { plan, obstacles }
}

/** Lines that were to get what a run fills that is planned no more, as facts have filled less (`draftAfter`). */
function lost({ fillRuns, deliveries }: Plan): string[] {
  const runs = new Set(fillRuns.map(({ id }) => id))
  const dangles = ({ from }: Plan['deliveries'][number]) =>
    from.some(({ fillRunId }) => fillRunId !== undefined && !runs.has(fillRunId))
  return deliveries.filter(dangles).map(({ orderLineId }) => orderLineId)
}

function noLonger(line: OrderLine): FoundObstacle {
  return { kind: 'LINE_NO_LONGER_FITS', rule: 'A3', orderLineId: line.id, line }
}

/** The draft with its decisions fixed exactly where the same ones of the plan in force are fixed now (F1). */
function flagged(draft: Plan, inForce: Plan | undefined): Plan {
  if (!inForce) return draft
  const carry = <Decision extends { id: string; fixed?: boolean }>(
    decisions: readonly Decision[],
    baseline: readonly Decision[],
  ): Decision[] => {
    const flags = new Map(baseline.map(({ id, fixed }) => [id, fixed === true]))
    return decisions.map((decision) => ({ ...decision, fixed: flags.get(decision.id) ?? decision.fixed }))
  }
  return {
    ...draft,
    brews: carry(draft.brews, inForce.brews),
    transfers: carry(draft.transfers, inForce.transfers),
    fillRuns: carry(draft.fillRuns, inForce.fillRuns),
  }
}
