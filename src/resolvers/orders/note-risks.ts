// The change log says which promises are at risk since a change, which are safe again, and which are kept on another day, in
// the transaction that causes it: so all readers of the log see it, whatever server wrote it.
import { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import type { Entity, Log } from '../../database/distributor-lock.ts'
import {
  deliveredByLine,
  type LocalDate,
  localDate,
  type Plan,
  type Problem,
  planShape,
} from '../../planner/documents/index.ts'
import { type Risk, risksOf } from './risks.ts'

export const AT_RISK = 'PROMISE_AT_RISK'
export const SAFE_AGAIN = 'PROMISE_SAFE_AGAIN'
export const DAY_MOVED = 'PROMISE_DAY_MOVED'
/** All that the change log says of promises. */
export const PROMISE_EVENTS = [AT_RISK, SAFE_AGAIN, DAY_MOVED] as const

/** What a change log entry of these kinds has as `after`. */
export const promiseEventShape = z.object({
  promisedOn: localDate,
  expectedOn: localDate.nullable(),
  /** The day before, where the day of a kept promise has moved. */
  expectedBefore: localDate.optional(),
  containers: z.number().nullable(),
  reasons: planShape.shape.unserved.element.shape.reasons,
  cause: z.object({ kind: z.string(), type: z.string(), id: z.string() }),
})

/** What happened, as the change log calls it, and to what. */
export interface Cause extends Entity {
  kind: string
}

export interface PlansCompared {
  distributorId: string
  /** The records after the change. */
  problem: Problem
  /** The plan in force as it was before: as its rows say, and as it held. */
  before: readonly [asWritten: Plan | undefined, held: Plan | undefined]
  /** The plan in force as it holds after the change. */
  after: Plan
  /** Lines whose orders the change is about: their day moves because the change asked for it. */
  asked?: ReadonlySet<string>
}

/**
 * Logs the promises that are at risk since a change, or otherwise than was logged before, those that are safe again, and those
 * that are kept on an earlier day, or on a later one again after an earlier one was logged. Costs one query where there is
 * anything to say, else none.
 */
export async function noteRisks(tx: TransactionClient, log: Log, plans: PlansCompared, cause: Cause): Promise<void> {
  const { distributorId, problem, before, after } = plans
  const now = risksOf(after)
  const earlier = before.map(risksOf)
  const differs = (id: string) => earlier.some((risks) => textOf(risks.get(id)) !== textOf(now.get(id)))
  const ids = new Set([...now.keys(), ...earlier.flatMap((risks) => [...risks.keys()])].filter(differs))
  const moved = daysMoved(plans)
  if (ids.size === 0 && moved.size === 0) return
  const lastSaid = await lastNews(tx, distributorId, [...ids, ...moved.keys()])
  let served: ReturnType<typeof deliveredByLine> | undefined
  for (const { id, promisedOn } of problem.orderLines) {
    const days = moved.get(id)
    if ((!ids.has(id) && !days) || promisedOn === undefined) continue
    const line = { type: 'OrderLine', id }
    const risk = now.get(id)
    const last = lastSaid.get(id)
    const lastRisk = last?.kind === AT_RISK ? last.news : undefined
    const kept = { promisedOn, containers: null, reasons: [], cause }
    if (risk && textOf(risk) !== textOf(lastRisk)) log(AT_RISK, line, lastRisk, { ...risk, cause })
    if (!risk && lastRisk) {
      served ??= deliveredByLine(after.deliveries)
      log(SAFE_AGAIN, line, lastRisk, { ...kept, expectedOn: served.get(id)?.last ?? null })
    } else if (!risk && days && (days.expectedOn < days.expectedBefore || isLaterThan(days.expectedOn, last?.news)))
      log(DAY_MOVED, line, last?.news, { ...kept, ...days })
  }
}

interface DaysMoved {
  expectedOn: LocalDate
  expectedBefore: LocalDate
}

/** The lines that are wholly served before and after, on another day; by id. */
function daysMoved({ problem, before: [, held], after, asked }: PlansCompared): Map<string, DaysMoved> {
  const moved = new Map<string, DaysMoved>()
  if (!held || held === after) return moved
  const others = deliveredOtherwise(held, after)
  if (others.size === 0) return moved
  const ofOthers = ({ deliveries }: Plan) =>
    deliveredByLine(deliveries.filter(({ orderLineId }) => others.has(orderLineId)))
  const [was, is] = [ofOthers(held), ofOthers(after)]
  for (const { id, promisedOn, quantity } of problem.orderLines) {
    if (!others.has(id)) continue
    const [then, now] = [was.get(id), is.get(id)]
    if (promisedOn === undefined || asked?.has(id) || !then || !now || then.last === now.last) continue
    if (then.quantity < quantity || now.quantity < quantity) continue
    moved.set(id, { expectedOn: now.last, expectedBefore: then.last })
  }
  return moved
}

/** The lines that have a delivery in one plan that the other does not share: most changes leave most deliveries as they are. */
function deliveredOtherwise(before: Plan, after: Plan): Set<string> {
  const [were, are] = [new Set(before.deliveries), new Set(after.deliveries)]
  const others = [
    ...before.deliveries.filter((each) => !are.has(each)),
    ...after.deliveries.filter((each) => !were.has(each)),
  ]
  return new Set(others.map(({ orderLineId }) => orderLineId))
}

/** Whether it is served later than was said last. */
function isLaterThan(expectedOn: LocalDate, last: News | undefined): boolean {
  return typeof last?.expectedOn === 'string' && last.expectedOn < expectedOn
}

type News = z.output<typeof promiseEventShape>

/** What the log said of lines last. */
async function lastNews(
  tx: TransactionClient,
  distributorId: string,
  ids: string[],
): Promise<Map<string, { kind: string; news: News }>> {
  const entries = await tx.changeLogEntry.findMany({
    where: { distributorId, entityId: { in: ids }, kind: { in: [...PROMISE_EVENTS] } },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
    select: { kind: true, entityId: true, after: true },
  })
  return new Map(entries.map(({ kind, entityId, after }) => [entityId, { kind, news: promiseEventShape.parse(after) }]))
}

/** What makes one risk another: when and how much, not in which words. */
function textOf(risk: Risk | undefined): string {
  return risk ? JSON.stringify([risk.promisedOn, risk.expectedOn, risk.containers]) : ''
}
