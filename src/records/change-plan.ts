// Changes a stored plan in place: only what differs is written, so that placing one order into a plan of thousands of
// lines touches a handful of rows.
import type { TransactionClient } from '../database/client.ts'
import type { Plan } from '../planner/problem.ts'
import { planRows, readSites } from './plan-rows.ts'
import { insertPlanRows, saveCost } from './save-plan.ts'

/**
 * Turns the rows of the plan `planId`, which say `from`, into rows that say `to`. The caller has read `from` under the
 * lock that it still holds. The deliveries of a line that changes are numbered anew, after all others.
 */
export async function changePlan(
  tx: TransactionClient,
  distributorId: string,
  planId: string,
  from: Plan,
  to: Plan,
): Promise<void> {
  const where = { distributorId, planId }
  // What refers to a thing goes and comes with it: runs and transfers with their brew, deliveries with their run.
  const brews = changedIds(from.brews, to.brews)
  const ofBrews = ({ batchId }: { batchId: string }) => brews.has(batchId)
  const transfers = changedIds(from.transfers, to.transfers, ofBrews)
  const fillRuns = changedIds(from.fillRuns, to.fillRuns, ofBrews)
  const byLine = ({ orderLineId }: { orderLineId: string }) => orderLineId
  const lines = changedKeys(from.deliveries, to.deliveries, byLine, ({ from: sources }) =>
    sources.some(({ fillRunId }) => fillRunId !== undefined && fillRuns.has(fillRunId)),
  )
  const dumped = !same(from.dumped, to.dumped) || [...from.dumped, ...to.dumped].some(ofBrews)
  const unserved = changedKeys(from.unserved, to.unserved, byLine)
  const late = changedKeys(from.late ?? [], to.late ?? [], byLine)
  const brokenPromises = changedKeys(from.brokenPromises ?? [], to.brokenPromises ?? [], byLine)
  const moved = !same(from.moved ?? [], to.moved ?? [])

  await tx.delivery.deleteMany({ where: { ...where, orderLineId: { in: [...lines] } } })
  await tx.fillRun.deleteMany({ where: { ...where, id: { in: [...fillRuns] } } })
  await tx.plannedTransfer.deleteMany({ where: { ...where, id: { in: [...transfers] } } })
  if (dumped) await tx.dump.deleteMany({ where })
  await tx.plannedBrew.deleteMany({ where: { ...where, id: { in: [...brews] } } })
  for (const [kind, ids] of [
    ['UNSERVED', unserved],
    ['LATE', late],
    ['BROKEN_PROMISE', brokenPromises],
  ] as const)
    if (ids.size > 0) await tx.planVerdict.deleteMany({ where: { ...where, kind, orderLineId: { in: [...ids] } } })
  if (moved) await tx.planMove.deleteMany({ where })

  const { _max: last } = await tx.delivery.aggregate({ where, _max: { n: true } })
  const rows = planRows(
    distributorId,
    planId,
    to,
    await readSites(tx, distributorId),
    {
      brews: to.brews.filter(({ id }) => brews.has(id)),
      transfers: to.transfers.filter(({ id }) => transfers.has(id)),
      fillRuns: to.fillRuns.filter(({ id }) => fillRuns.has(id)),
      deliveries: to.deliveries.filter(({ orderLineId }) => lines.has(orderLineId)),
      dumped: dumped ? to.dumped : [],
      unserved: to.unserved.filter(({ orderLineId }) => unserved.has(orderLineId)),
      late: to.late?.filter(({ orderLineId }) => late.has(orderLineId)),
      brokenPromises: to.brokenPromises?.filter(({ orderLineId }) => brokenPromises.has(orderLineId)),
      moved: moved ? to.moved : [],
    },
    (last.n ?? 0) + 1,
  )
  await insertPlanRows(tx, rows)
  await saveCost(tx, distributorId, planId, to)
}

/** Ids of the decisions that are in one list only, differ, or are carried along. */
function changedIds<Decision extends { id: string; fixed?: boolean }>(
  from: readonly Decision[],
  to: readonly Decision[],
  alsoIf?: (decision: Decision) => boolean,
): Set<string> {
  const plain = (list: readonly Decision[]) => list.map((decision) => ({ ...decision, fixed: decision.fixed ?? false }))
  return changedKeys(plain(from), plain(to), ({ id }) => id, alsoIf)
}

/** Keys under which the two lists do not have the same elements in the same order, or one that `alsoIf` names. */
function changedKeys<Element>(
  from: readonly Element[],
  to: readonly Element[],
  keyOf: (element: Element) => string,
  alsoIf: (element: Element) => boolean = () => false,
): Set<string> {
  const texts = (list: readonly Element[]) => {
    const byKey = new Map<string, string>()
    for (const element of list) {
      const key = keyOf(element)
      byKey.set(key, (byKey.get(key) ?? '') + textOf(element))
    }
    return byKey
  }
  const before = texts(from)
  const after = texts(to)
  const changed = [...before.keys(), ...after.keys()].filter((key) => before.get(key) !== after.get(key))
  return new Set([...changed, ...[...from, ...to].filter(alsoIf).map(keyOf)])
}

function same(a: unknown, b: unknown): boolean {
  return textOf(a) === textOf(b)
}

/** A value as text that does not depend on the order in which its keys were written. */
function textOf(value: unknown): string {
  return JSON.stringify(value, (_, part: unknown) =>
    typeof part === 'object' && part !== null && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).sort(([a], [b]) => (a < b ? -1 : 1)))
      : part,
  )
}
