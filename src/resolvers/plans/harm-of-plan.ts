// What a plan would do to people if it took the place of the plan in force: who is served later, and which work that must
// stay as it is would be changed. A plan that is to serve one more question of sales does neither.
import {
  addDays,
  type DeliveredLine,
  deliveredByLine,
  type LocalDate,
  type Plan,
  type Problem,
} from '../../planner/documents/index.ts'
import { broughtForward } from './broken-promises.ts'
import { comparePlans } from './compare-plans.ts'
import type { FoundObstacle } from './obstacle-words.ts'

/** What is served of a line that is not served. */
export const NOTHING: DeliveredLine = { quantity: 0, last: '' }

/** Whether less of a line is served than before, or as much later. */
export function isWorse(now: DeliveredLine = NOTHING, before: DeliveredLine = NOTHING): boolean {
  return now.quantity < before.quantity || (now.quantity === before.quantity && now.last > before.last)
}

/**
 * Lines of the problem that `plan` serves later than `inForce`, or less of; promised ones that it brings forward within the frozen
 * days; and days on which it changes what is frozen, fixed or leaves today, but for the lines that are `asked` for. Empty: no
 * one is worse off.
 */
export function harmOf(problem: Problem, inForce: Plan, plan: Plan, asked: ReadonlySet<string>): FoundObstacle[] {
  const [before, now] = [deliveredByLine(inForce.deliveries), deliveredByLine(plan.deliveries)]
  const later = problem.orderLines.flatMap((line): FoundObstacle[] => {
    const [was, is] = [before.get(line.id), now.get(line.id)]
    if (!isWorse(is, was)) return []
    const about = { orderLineId: line.id, promisedOn: line.promisedOn, expectedOn: is?.last, line }
    return [{ kind: 'SERVED_LATER', ...about, servedOn: was?.last }]
  })
  const days = workMoved(problem, inForce, plan)
  if (loadsOf(problem, inForce, asked) !== loadsOf(problem, plan, asked)) days.add(problem.today)
  const moved = [...days].sort().map((workOn): FoundObstacle => ({ kind: 'WORK_MOVED', rule: 'F1', workOn }))
  return [...later, ...broughtForward(problem, [inForce], plan), ...moved]
}

/** The days of brews, transfers and runs that are frozen or fixed and that the plan changes, or adds. */
function workMoved({ today, frozenDays }: Problem, inForce: Plan, plan: Plan): Set<LocalDate> {
  const thawed = addDays(today, frozenDays)
  const decisions = [...inForce.brews, ...inForce.transfers, ...inForce.fillRuns]
  const fixed = new Set(decisions.filter((each) => each.fixed).map(({ id }) => id))
  const { added, moved, dropped } = comparePlans(plan, inForce)
  const changed = [...added, ...moved, ...dropped]
    .flatMap(({ before, after }) => [before, after])
    .filter((decision) => decision !== null)
  return new Set(changed.filter(({ id, on }) => on < thawed || fixed.has(id)).map(({ on }) => on))
}

/** What leaves today for others than those that are asked for, as text to compare. */
function loadsOf({ today }: Problem, { deliveries }: Plan, asked: ReadonlySet<string>): string {
  const loads = deliveries.filter(({ dispatchOn, orderLineId }) => dispatchOn === today && !asked.has(orderLineId))
  return JSON.stringify(
    loads
      .map(({ orderLineId, routeId, from }) => [orderLineId, routeId, ...from.map(({ quantity }) => quantity)])
      .sort(),
  )
}
