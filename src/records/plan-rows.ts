// A plan document as rows, one list a table. The planner's ids carry over; what a row must know beyond them (the site of
// a decision, whether a batch exists or is a planned brew) is looked up.
import { dateOf } from '../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../database/client.ts'
import type { Plan, Problem } from '../planner/documents/index.ts'

export interface PlanRows {
  brews: Prisma.PlannedBrewCreateManyInput[]
  transfers: Prisma.PlannedTransferCreateManyInput[]
  fillRuns: Prisma.FillRunCreateManyInput[]
  deliveries: Prisma.DeliveryCreateManyInput[]
  sources: Prisma.DeliverySourceCreateManyInput[]
  dumps: Prisma.DumpCreateManyInput[]
  verdicts: Prisma.PlanVerdictCreateManyInput[]
  moved: Prisma.PlanMoveCreateManyInput[]
}

/** The site of each thing that a decision acts at. */
export interface SitesOf {
  vessel: ReadonlyMap<string, string>
  filler: ReadonlyMap<string, string>
  route: ReadonlyMap<string, string>
  batch: ReadonlyMap<string, string>
}

/**
 * Reads where the distributor's vessels, fillers, routes and batches are. Of batches that were emptied only where `emptied`: a brew
 * that was planned since may have the id of one.
 */
export async function readSites(
  tx: TransactionClient,
  distributorId: string,
  { emptied }: { emptied: boolean },
): Promise<SitesOf> {
  const query = { where: { distributorId }, select: { id: true, siteId: true } } as const
  const mapOf = (rows: { id: string; siteId: string }[]) => new Map(rows.map(({ id, siteId }) => [id, siteId]))
  return {
    vessel: mapOf(await tx.vessel.findMany(query)),
    filler: mapOf(await tx.filler.findMany(query)),
    route: mapOf(await tx.route.findMany(query)),
    batch: mapOf(
      await tx.batch.findMany({ ...query, where: { distributorId, ...(emptied ? {} : { emptiedOn: null }) } }),
    ),
  }
}

/** The site of a thing. Throws where there is no such thing. */
export function siteIn(sites: SitesOf, kind: keyof SitesOf, id: string): string {
  const siteId = sites[kind].get(id)
  if (siteId === undefined) throw new Error(`The plan names a ${kind} that does not exist, "${id}".`)
  return siteId
}

/** The same by what the problem says. */
export function sitesIn({ vessels, fillers, routes, batches }: Problem): SitesOf {
  const mapOf = (list: readonly { id: string; siteId: string }[]) => new Map(list.map(({ id, siteId }) => [id, siteId]))
  const vessel = mapOf(vessels)
  return {
    vessel,
    filler: mapOf(fillers),
    route: mapOf(routes),
    batch: new Map(batches.map(({ id, vesselId }) => [id, vessel.get(vesselId) ?? ''])),
  }
}

/** The lists of a plan that become rows. */
export type PlanPart = Omit<Plan, 'cost'>

/**
 * The rows of a plan, or of a part of one. Deliveries and dumps are numbered from `firstN`; `brewSites` are the sites of
 * planned brews. Throws where the part names a vessel, filler, route or batch that does not exist.
 */
export function planRows(
  distributorId: string,
  planId: string,
  part: PlanPart,
  sites: SitesOf,
  brewSites: ReadonlyMap<string, string>,
  firstN = 1,
): PlanRows {
  const key = { distributorId, planId }
  const siteOf = (kind: keyof SitesOf, id: string) => siteIn(sites, kind, id)
  /** A batch that the plan itself brews, or one that exists, with its site. */
  const batchKey = (batchId: string) => {
    const siteId = brewSites.get(batchId)
    return siteId === undefined
      ? { siteId: siteOf('batch', batchId), batchId, brewId: null }
      : { siteId, batchId: null, brewId: batchId }
  }
  return {
    brews: part.brews.map(({ brewOn, ...brew }) => ({
      ...key,
      ...brew,
      siteId: siteOf('vessel', brew.vesselId),
      brewOn: dateOf(brewOn),
    })),
    transfers: part.transfers.map(({ batchId, on, ...transfer }) => ({
      ...key,
      ...transfer,
      ...batchKey(batchId),
      on: dateOf(on),
    })),
    fillRuns: part.fillRuns.map(({ batchId, on, ...run }) => ({
      ...key,
      ...run,
      ...batchKey(batchId),
      on: dateOf(on),
    })),
    deliveries: part.deliveries.map(({ orderLineId, routeId, dispatchOn, serveOn }, index) => ({
      ...key,
      n: firstN + index,
      siteId: siteOf('route', routeId),
      orderLineId,
      routeId,
      dispatchOn: dateOf(dispatchOn),
      serveOn: dateOf(serveOn),
    })),
    sources: part.deliveries.flatMap(({ routeId, from }, index) =>
      from.map((source, at) => ({
        ...key,
        deliveryN: firstN + index,
        n: at + 1,
        siteId: siteOf('route', routeId),
        ...source,
      })),
    ),
    dumps: part.dumped.map(({ batchId, on, litres }, index) => ({
      ...key,
      n: firstN + index,
      ...batchKey(batchId),
      on: dateOf(on),
      litres,
    })),
    verdicts: [
      ...part.unserved.map((verdict) => ({ ...key, kind: 'UNSERVED' as const, ...verdict })),
      ...(part.late ?? []).map((verdict) => ({ ...key, kind: 'LATE' as const, ...verdict })),
      ...(part.brokenPromises ?? []).map(({ promisedOn, now, ...verdict }) => ({
        ...key,
        kind: 'BROKEN_PROMISE' as const,
        ...verdict,
        promisedOn: dateOf(promisedOn),
        now: now === null ? null : dateOf(now),
      })),
    ],
    moved: (part.moved ?? []).map(({ kind, id, reasons }) => ({ ...key, kind, decisionId: id, reasons })),
  }
}
