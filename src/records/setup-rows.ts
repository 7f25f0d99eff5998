// Reads the set-up of a distributor, one query a table, and decides which retired things the planner must still know.
import type { TransactionClient } from '../database/client.ts'
import { groupBy, sortedBy } from './group.ts'

/** Ids of set-up things that facts and wishes still name: they are read although they may be retired. */
export interface StillNamed {
  /** Vessels that hold a batch. */
  vesselIds: ReadonlySet<string>
  /** Sites of those batches and of stock. */
  siteIds: ReadonlySet<string>
  /** Beers of those batches. */
  beerIds: ReadonlySet<string>
  /** Packs of stock and of open order lines. */
  packIds: ReadonlySet<string>
  /** Accounts of open order lines. */
  accountIds: ReadonlySet<string>
}

type Retirable = { id: string; retiredAt: Date | null }

/** All set-up rows that a problem is made of, by table, with their children at hand. */
export async function readSetup(tx: TransactionClient, distributorId: string, named: StillNamed) {
  const where = { distributorId }
  const kept = <Row extends Retirable>(rows: readonly Row[], alsoKeep?: ReadonlySet<string>) =>
    sortedBy(
      rows.filter((row) => row.retiredAt === null || alsoKeep?.has(row.id)),
      ({ id }) => id,
    )

  const sites = kept(await tx.site.findMany({ where }), named.siteIds)
  const vessels = kept(await tx.vessel.findMany({ where }), named.vesselIds)
  const allPacks = await tx.pack.findMany({ where })
  const packs = kept(allPacks, named.packIds)
  const packBeerIds = new Set(allPacks.filter(({ id }) => named.packIds.has(id)).map(({ beerId }) => beerId))
  const beers = kept(await tx.beer.findMany({ where }), new Set([...named.beerIds, ...packBeerIds]))
  const usedTypeIds = new Set(packs.map(({ containerTypeId }) => containerTypeId))
  const containerTypes = kept(await tx.containerType.findMany({ where }), usedTypeIds)
  return {
    sites,
    closures: groupBy(await tx.siteClosure.findMany({ where, orderBy: { on: 'asc' } }), ({ siteId }) => siteId),
    vessels,
    outages: groupBy(await tx.vesselOutage.findMany({ where, orderBy: { from: 'asc' } }), ({ vesselId }) => vesselId),
    beers,
    packs: groupBy(packs, ({ beerId }) => beerId),
    beerVessels: groupBy(await tx.beerVessel.findMany({ where }), ({ beerId }) => beerId),
    containerTypes,
    fillers: kept(await tx.filler.findMany({ where })),
    fillerDays: groupBy(await tx.fillerDay.findMany({ where, orderBy: { on: 'asc' } }), ({ fillerId }) => fillerId),
    fillerSetups: groupBy(await tx.fillerSetup.findMany({ where }), ({ fillerId }) => fillerId),
    fillerRates: groupBy(await tx.fillerRate.findMany({ where }), ({ fillerId }) => fillerId),
    fleets: kept(await tx.fleet.findMany({ where })),
    fleetReturns: groupBy(await tx.fleetReturn.findMany({ where, orderBy: { on: 'asc' } }), ({ fleetId }) => fleetId),
    stores: kept(await tx.store.findMany({ where })),
    routes: kept(await tx.route.findMany({ where })),
    routeClosures: groupBy(await tx.routeClosure.findMany({ where, orderBy: { on: 'asc' } }), ({ routeId }) => routeId),
    accounts: kept(await tx.account.findMany({ where }), named.accountIds),
    accountRoutes: groupBy(await tx.accountRoute.findMany({ where }), ({ accountId }) => accountId),
  }
}

export type SetupRows = Awaited<ReturnType<typeof readSetup>>
