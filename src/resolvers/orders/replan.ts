// Lines come into the plan in force and leave it. Nothing else in it moves; the planner's checker has judged the result.
import { Conflict, NotPossible } from '../../errors.ts'
import { laterOf } from '../../planner/days.ts'
import { holdPlan } from '../../planner/hold-plan.ts'
import { planCost, type Trial } from '../../planner/index.ts'
import type { OrderLine, Plan, Problem } from '../../planner/problem.ts'
import { withoutLines } from '../../planner/without-lines.ts'
import { inForceOf, type Snapshot } from '../../records/snapshots.ts'
import { atTheEarliest, isWhole } from '../promise/earliest.ts'
import type { Accept } from './shapes.ts'

export interface Change {
  /** Ids of lines that leave. */
  without: ReadonlySet<string>
  /** Lines that come in. One with a `promisedOn` may be served by that day, though later than its serve day. */
  lines: readonly OrderLine[]
  accept: Accept
  /** What a refusal is called. Absent: NO_PLAN_FITS. */
  refusal?: 'NO_PLAN_FITS' | 'OFFER_GONE' | 'PROMISE_WORSENS'
}

export interface Changed {
  /** The lines that came in, with the day that is promised. */
  lines: OrderLine[]
  problem: Problem
  /** Absent: no plan is in force. */
  plan?: Plan
}

/**
 * The records as they are after a change of lines. Throws `NotPossible` where the lines cannot be served as `accept` asks,
 * and `Conflict` where that cannot be told because no plan is in force.
 */
export function changeLines({ problem, inForce }: Snapshot, change: Change): Changed {
  const { without, lines, accept } = change
  const orderLines = problem.orderLines.filter(({ id }) => !without.has(id))
  const left = { ...problem, orderLines }
  if (!inForce) {
    if (accept !== 'AS_DEMAND' && lines.length > 0) throw new Conflict('NO_PLAN_IN_FORCE')
    const wished = lines.map(unpromised)
    return { lines: wished, problem: { ...left, orderLines: inOrder([...orderLines, ...wished]) } }
  }
  const held = inForce.held()
  const { trial } = without.size === 0 ? held : holdPlan(left, withoutLines(problem, held.plan, without))
  const dated = accept === 'AS_DEMAND' ? lines.map(unpromised) : promised(trial, change)
  const { answers, plan: placed } = trial.commit(dated)
  const ids = new Map(lines.map((line) => [line.id, line]))
  // The promise binds the plan; how long the beer is wanted stays as it was asked.
  const stored = dated.map((line) => ({ ...line, latestServeOn: ids.get(line.id)?.latestServeOn }))
  if (accept !== 'AS_DEMAND' && !answers.every(isWhole))
    throw new Error('a promise was not kept by the plan that made it')
  const changed = { ...left, orderLines: inOrder([...orderLines, ...stored]), baseline: placed }
  // It is its own baseline from now on: what was dropped to make room is no churn of it any more.
  const plan = { ...placed, cost: planCost(changed, placed) }
  return { lines: stored, plan, problem: { ...changed, baseline: plan } }
}

/** The snapshot after a change that was committed at `revision`. */
export function snapshotAfter(before: Snapshot, { problem, plan }: Changed, revision: number): Snapshot {
  const { inForce } = before
  return {
    ...before,
    revision,
    problem,
    ...(inForce && plan ? { inForce: inForceOf(problem, inForce.planId, plan) } : {}),
  }
}

/** The lines with the day that is promised, as the last day on which they may be served. */
function promised(trial: Trial, change: Change): OrderLine[] {
  const { lines, accept } = change
  const settled = atTheEarliest(
    trial,
    accept === 'LATER' ? keptIfPossible(trial, lines) : lines.map(onTimeOrAsPromised),
  )
  const answers = trial.promise(settled, { unexplained: true })
  if (!answers.every(isWhole)) refuse(trial, change)
  return settled.map((line, index) => ({ ...line, promisedOn: answers[index]?.serveOn ?? line.serveOn }))
}

/** The lines, those that are promised already bound to their promise where all of them together can be had so. */
function keptIfPossible(trial: Trial, lines: readonly OrderLine[]): readonly OrderLine[] {
  if (lines.every(({ promisedOn }) => promisedOn === undefined)) return lines
  const bound = lines.map((line) => (line.promisedOn === undefined ? line : onTimeOrAsPromised(line)))
  return trial.promise(bound, { unexplained: true }).every(isWhole) ? bound : lines
}

/** The line as a wish. */
function unpromised(line: OrderLine): OrderLine {
  return { ...line, promisedOn: undefined }
}

/** The line, to be served on its serve day or by the day that it is promised for already. */
function onTimeOrAsPromised(line: OrderLine): OrderLine {
  const { serveOn, promisedOn = serveOn } = line
  return { ...line, latestServeOn: laterOf(promisedOn, serveOn) }
}

/** Says what can be served when, and what binds; the latter is found out after the lock is let go, if it is asked for. */
function refuse(trial: Trial, { lines, refusal = 'NO_PLAN_FITS' }: Change): never {
  const answers = trial.promise([...lines], { unexplained: true })
  const words = answers.flatMap((answer, index) => {
    if (answer.onTime) return []
    return isWhole(answer)
      ? [`lines[${index}]: at the earliest on ${answer.serveOn}`]
      : [`lines[${index}]: ${answer.served} of ${answer.quantity} within the days that plans reach`]
  })
  const reasons = () => trial.promise([...lines]).flatMap(({ limits }) => limits)
  throw new NotPossible(refusal, reasons, `It cannot be served as asked. ${words.join('; ')}.`)
}

function inOrder(lines: OrderLine[]): OrderLine[] {
  return lines.sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0))
}
