// Promises that an adoption would break and that the plan in force keeps: they are accepted by name, or it is refused.
import { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import { type Issue, issue } from '../../errors.ts'
import type { LocalDate, Plan, Problem, Reason } from '../../planner/documents/index.ts'
import { addDays, deliveredByLine, firstServes } from '../../planner/documents/index.ts'
import { globalId, rowIdIn } from '../global-id.ts'
import { oneOf } from '../one-of.ts'
import type { FoundObstacle } from './obstacle-words.ts'

/** Most lines that an adoption names; `all` accepts more. */
export const MOST_ACCEPTED = 1000

/** Which broken promises the caller accepts: all of them, or those of the named order lines. */
export const acceptShape = oneOf({ all: z.literal(true), lines: z.array(globalId).min(1).max(MOST_ACCEPTED) })

export type Accepted = z.output<typeof acceptShape>

/** A promise that the plan in force keeps and a draft breaks (F2). */
export interface BrokenPromise {
  orderLineId: string
  promisedOn: LocalDate
  /** The day on which the draft serves all of the line. Absent: it never does. */
  expectedOn?: LocalDate
  reasons: readonly Reason[]
}

/**
 * The promised lines of a problem that `inForce` serves wholly by the promised day and `draft` does not, in the order of the
 * problem.
 */
export function newlyBroken(problem: Problem, inForce: Plan, draft: Plan): BrokenPromise[] {
  const [before, now] = [deliveredByLine(inForce.deliveries), deliveredByLine(draft.deliveries)]
  const reasons = new Map(draft.brokenPromises?.map((each) => [each.orderLineId, each.reasons]))
  return problem.orderLines.flatMap(({ id, promisedOn, quantity }) => {
    if (promisedOn === undefined) return []
    const dayIn = (served: typeof now) => (served.get(id)?.quantity === quantity ? served.get(id)?.last : undefined)
    const [was, is] = [dayIn(before), dayIn(now)]
    if (was === undefined || was > promisedOn || (is !== undefined && is <= promisedOn)) return []
    return [
      { orderLineId: id, promisedOn, ...(is === undefined ? {} : { expectedOn: is }), reasons: reasons.get(id) ?? [] },
    ]
  })
}

/** Of broken promises, those that are not accepted. */
export function notAccepted(broken: readonly BrokenPromise[], accepted: Accepted | undefined): BrokenPromise[] {
  if (accepted?.all) return []
  const named = new Set(accepted?.lines?.map((text) => rowIdIn('OrderLine', text)))
  return broken.filter(({ orderLineId }) => !named.has(orderLineId))
}

/** What is wrong with the lines that are named: those that there are not. */
export async function faultsOfAccepted(
  tx: TransactionClient,
  distributorId: string,
  accepted: Accepted | undefined,
): Promise<Issue[]> {
  const lines = accepted?.lines ?? []
  const ids = lines.map((text) => rowIdIn('OrderLine', text) ?? '')
  const rows = await tx.orderLine.findMany({ where: { distributorId, id: { in: ids } }, select: { id: true } })
  const known = new Set(rows.map(({ id }) => id))
  return ids.flatMap((id, at): Issue[] => {
    if (known.has(id)) return []
    const message = `there is no OrderLine "${lines[at]}"`
    return [issue(`acceptBrokenPromises.lines[${at}]`, 'UNKNOWN_REFERENCE', message)]
  })
}

/** Broken promises as what keeps a draft from coming into force. */
export function asObstacles(problem: Problem, broken: readonly BrokenPromise[]): FoundObstacle[] {
  const lines = new Map(problem.orderLines.map((line) => [line.id, line]))
  return broken.flatMap(({ orderLineId, promisedOn, expectedOn }) => {
    const line = lines.get(orderLineId)
    if (!line) return []
    return [{ kind: 'PROMISE_BROKEN', rule: 'F2', orderLineId, promisedOn, expectedOn, line }]
  })
}

/**
 * Promised lines that `draft` serves on an earlier day than all of the plans in force say, within the frozen days of the problem
 * and before the promised day, as what keeps the draft from coming into force: the account has made ready for the day that it
 * heard of. A draft that was begun on an earlier day, or with fewer frozen days, has not seen to it.
 */
export function broughtForward(problem: Problem, inForce: readonly Plan[], draft: Plan): FoundObstacle[] {
  const before = inForce.map(({ deliveries }) => firstServes(deliveries))
  const now = firstServes(draft.deliveries)
  const thawed = addDays(problem.today, problem.frozenDays)
  return problem.orderLines.flatMap((line): FoundObstacle[] => {
    const [is, days] = [now.get(line.id), before.flatMap((served) => served.get(line.id) ?? [])]
    const { promisedOn } = line
    if (promisedOn === undefined || is === undefined || is >= promisedOn || is >= thawed) return []
    if (days.length === 0 || days.some((day) => day <= is)) return []
    const about = { orderLineId: line.id, promisedOn, expectedOn: is, line }
    return [{ kind: 'PROMISE_BROUGHT_FORWARD', rule: 'F1', ...about, servedOn: days[0] }]
  })
}
