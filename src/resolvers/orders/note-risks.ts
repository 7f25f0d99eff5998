// The change log tells which promises are at risk since a change, and which are safe again, in the transaction that
// causes it: so whoever follows the log hears of it, whatever server wrote it.
import { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import type { Entity, Log } from '../../database/distributor-lock.ts'
import { localDate, type Plan, type Problem, planShape } from '../../planner/problem.ts'
import { servedBy } from '../../planner/served.ts'
import { type Risk, risksOf } from './risks.ts'

export const AT_RISK = 'PROMISE_AT_RISK'
export const SAFE_AGAIN = 'PROMISE_SAFE_AGAIN'

/** What a change log entry of these kinds tells as `after`. */
export const promiseTold = z.object({
  promisedOn: localDate,
  expectedOn: localDate.nullable(),
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
  before: readonly (Plan | undefined)[]
  /** The plan in force as it holds after the change. */
  after: Plan
}

/**
 * Logs the promises that are at risk since a change, or otherwise than was told before, and those that are safe again.
 * Costs one query where there is anything to tell, else none.
 */
export async function noteRisks(
  tx: TransactionClient,
  log: Log,
  { distributorId, problem, before, after }: PlansCompared,
  cause: Cause,
): Promise<void> {
  const now = risksOf(after)
  const earlier = before.map(risksOf)
  const differs = (id: string) => earlier.some((risks) => textOf(risks.get(id)) !== textOf(now.get(id)))
  const ids = new Set([...now.keys(), ...earlier.flatMap((risks) => [...risks.keys()])].filter(differs))
  if (ids.size === 0) return
  const told = await lastTold(tx, distributorId, [...ids])
  let served: ReturnType<typeof servedBy> | undefined
  for (const { id, promisedOn } of problem.orderLines) {
    if (!ids.has(id) || promisedOn === undefined) continue
    const line = { type: 'OrderLine', id }
    const risk = now.get(id)
    const last = told.get(id)
    if (risk && textOf(risk) !== textOf(last)) log(AT_RISK, line, last, { ...risk, cause })
    if (!risk && last) {
      served ??= servedBy(after.deliveries)
      const expectedOn = served.get(id)?.last ?? null
      log(SAFE_AGAIN, line, last, { promisedOn, expectedOn, containers: null, reasons: [], cause })
    }
  }
}

/** The risks of lines that were told last, without those that were told to be safe since. */
async function lastTold(tx: TransactionClient, distributorId: string, ids: string[]): Promise<Map<string, Risk>> {
  const entries = await tx.changeLogEntry.findMany({
    where: { distributorId, entityId: { in: ids }, kind: { in: [AT_RISK, SAFE_AGAIN] } },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
    select: { kind: true, entityId: true, after: true },
  })
  const told = new Map<string, Risk>()
  for (const { kind, entityId, after } of entries) {
    if (kind === SAFE_AGAIN) told.delete(entityId)
    else told.set(entityId, promiseTold.parse(after))
  }
  return told
}

/** What makes one risk another: when and how much, not in which words. */
function textOf(risk: Risk | undefined): string {
  return risk ? JSON.stringify([risk.promisedOn, risk.expectedOn, risk.containers]) : ''
}
