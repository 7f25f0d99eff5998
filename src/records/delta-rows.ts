// What a delta of a plan puts, as rows. Deliveries and dumps are numbered from 1: the database counts on from there.
import type { TransactionClient } from '../database/client.ts'
import type { PlanDelta } from '../planner/documents/index.ts'
import { type PlanRows, planRows, type SitesOf, siteIn } from './plan-rows.ts'

/** The rows of what a delta puts. Asks the database only for the site of a brew whose dumping alone changes. */
export async function deltaRows(
  tx: TransactionClient,
  distributorId: string,
  planId: string,
  delta: PlanDelta,
  sites: SitesOf,
): Promise<PlanRows> {
  const part = {
    brews: delta.brews.put.map(withFixed),
    transfers: delta.transfers.put.map(withFixed),
    fillRuns: delta.fillRuns.put.map(withFixed),
    deliveries: [...delta.deliveries.put],
    dumped: [...delta.dumped.put],
    unserved: [...delta.unserved.put],
    late: [...delta.late.put],
    brokenPromises: [...delta.brokenPromises.put],
    moved: delta.moved ?? [],
  }
  const brewSites = new Map(part.brews.map(({ id, vesselId }) => [id, siteIn(sites, 'vessel', vesselId)]))
  const note = (batchId: string, siteId: () => string) => {
    if (!brewSites.has(batchId) && !sites.batch.has(batchId)) brewSites.set(batchId, siteId())
  }
  for (const { batchId, toVesselId } of part.transfers) note(batchId, () => siteIn(sites, 'vessel', toVesselId))
  for (const { batchId, fillerId } of part.fillRuns) note(batchId, () => siteIn(sites, 'filler', fillerId))
  const unknown = part.dumped.map(({ batchId }) => batchId).filter((id) => !brewSites.has(id) && !sites.batch.has(id))
  if (unknown.length > 0) {
    const where = { distributorId, planId, id: { in: unknown } }
    for (const { id, siteId } of await tx.plannedBrew.findMany({ where })) brewSites.set(id, siteId)
  }
  return planRows(distributorId, planId, part, sites, brewSites)
}

function withFixed<Decision extends { fixed?: boolean }>(decision: Decision): Decision {
  return { ...decision, fixed: decision.fixed ?? false }
}
