// A plan whose row is there takes the place of the plan in force.
import type { Locked } from '../../database/distributor-lock.ts'
import type { BrokenPromise } from './broken-promises.ts'

/** Writes that the draft is in force and the plan before it is past; the log has the promises that are broken. */
export async function putInForce(
  { tx, log }: Locked,
  { distributorId, id }: { distributorId: string; id: string },
  { at, costTotal, broken }: { at: Date; costTotal: number; broken: readonly BrokenPromise[] },
): Promise<void> {
  const where = (id: string) => ({ distributorId_id: { distributorId, id } })
  const inForce = await tx.plan.findFirst({ where: { distributorId, status: 'IN_FORCE' } })
  if (inForce) await tx.plan.update({ where: where(inForce.id), data: { status: 'PAST', replacedAt: at } })
  await tx.plan.update({ where: where(id), data: { status: 'IN_FORCE', adoptedAt: at } })
  const replaced = inForce ? { id: inForce.id, status: 'IN_FORCE', costTotal: inForce.costTotal } : undefined
  const brokenPromises = broken.map(({ orderLineId }) => orderLineId)
  const more = broken.length > 0 ? { brokenPromises } : {}
  log('PLAN_ADOPTED', { type: 'Plan', id }, replaced, { id, status: 'IN_FORCE', costTotal, ...more })
}
