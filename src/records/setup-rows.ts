// Reads the set-up of a distributor, one query a table, and decides which retired things the planner must still know. A writer of
// facts, who knows the set-up, reads only what facts change of it.
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

/** The tables that a change of set-up alone writes. */
export type UnchangingTables = Awaited<ReturnType<typeof readUnchanging>>

/** The tables of the set-up, retired rows too, as they are read: rows in no order, children by day. */
export type SetupTables = Awaited<ReturnType<typeof readSetupTables>>

/**
 * Reads them, one query a table. Of those that are `known` only what facts change is read again: when vessels were emptied and are
 * out of service, what of a fleet is clean, and how far the days of a site have ended.
 */
export async function readSetupTables(tx: TransactionClient, distributorId: string, known?: UnchangingTables) {
  const where = { distributorId }
  return {
    ...(known ?? (await readUnchanging(tx, distributorId))),
    sites: await tx.site.findMany({ where }),
    vessels: await tx.vessel.findMany({ where }),
    outages: await tx.vesselOutage.findMany({ where, orderBy: { from: 'asc' } }),
    fleets: await tx.fleet.findMany({ where }),
  }
}

async function readUnchanging(tx: TransactionClient, distributorId: string) {
  const where = { distributorId }
  return {
    packs: await tx.pack.findMany({ where }),
    beers: await tx.beer.findMany({ where }),
    containerTypes: await tx.containerType.findMany({ where }),
    closures: await tx.siteClosure.findMany({ where, orderBy: { on: 'asc' } }),
    beerVessels: await tx.beerVessel.findMany({ where }),
    fillers: await tx.filler.findMany({ where }),
    fillerDays: await tx.fillerDay.findMany({ where, orderBy: { on: 'asc' } }),
    fillerSetups: await tx.fillerSetup.findMany({ where }),
    fillerRates: await tx.fillerRate.findMany({ where }),
    fleetReturns: await tx.fleetReturn.findMany({ where, orderBy: { on: 'asc' } }),
    stores: await tx.store.findMany({ where }),
    routes: await tx.route.findMany({ where }),
    routeClosures: await tx.routeClosure.findMany({ where, orderBy: { on: 'asc' } }),
    accounts: await tx.account.findMany({ where }),
    accountRoutes: await tx.accountRoute.findMany({ where }),
  }
}

/** All set-up rows that a problem is made of, by table, with their children at hand. */
export function setupRows(tables: SetupTables, named: StillNamed) {
  const kept = <Row extends Retirable>(rows: readonly Row[], alsoKeep?: ReadonlySet<string>) =>
    sortedBy(
      rows.filter((row) => row.retiredAt === null || alsoKeep?.has(row.id)),
      ({ id }) => id,
    )
  const packs = kept(tables.packs, named.packIds)
  const packBeerIds = new Set(tables.packs.filter(({ id }) => named.packIds.has(id)).map(({ beerId }) => beerId))
  const usedTypeIds = new Set(packs.map(({ containerTypeId }) => containerTypeId))
  return {
    sites: kept(tables.sites, named.siteIds),
    closures: groupBy(tables.closures, ({ siteId }) => siteId),
    vessels: kept(tables.vessels, named.vesselIds),
    outages: groupBy(tables.outages, ({ vesselId }) => vesselId),
    beers: kept(tables.beers, new Set([...named.beerIds, ...packBeerIds])),
    packs: groupBy(packs, ({ beerId }) => beerId),
    beerVessels: groupBy(tables.beerVessels, ({ beerId }) => beerId),
    containerTypes: kept(tables.containerTypes, usedTypeIds),
    fillers: kept(tables.fillers),
    fillerDays: groupBy(tables.fillerDays, ({ fillerId }) => fillerId),
    fillerSetups: groupBy(tables.fillerSetups, ({ fillerId }) => fillerId),
    fillerRates: groupBy(tables.fillerRates, ({ fillerId }) => fillerId),
    fleets: kept(tables.fleets),
    fleetReturns: groupBy(tables.fleetReturns, ({ fleetId }) => fleetId),
    stores: kept(tables.stores),
    routes: kept(tables.routes),
    routeClosures: groupBy(tables.routeClosures, ({ routeId }) => routeId),
    accounts: kept(tables.accounts, named.accountIds),
    accountRoutes: groupBy(tables.accountRoutes, ({ accountId }) => accountId),
  }
}

export type SetupRows = ReturnType<typeof setupRows>
