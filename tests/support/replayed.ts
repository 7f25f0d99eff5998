// The ledger against the tables: what its entries say when they are replayed is what batches, lots, fleets and places hold.
import { expect } from 'vitest'
import type { PrismaClient } from '../../src/database/client.ts'
import { balancesOf, ledgerFaults } from '../../src/floor/ledger/identity.ts'
import { cleanPlace, filledPlace, isHolder, vesselPlace } from '../../src/floor/ledger/place.ts'
import { entryOf } from '../../src/records/ledger.ts'

/** The ledger balances, and replaying it gives the tables. */
export async function expectReplayed(client: PrismaClient, distributorId: string): Promise<void> {
  const where = { distributorId }
  const entries = (await client.ledgerEntry.findMany({ where })).map(entryOf)
  expect(ledgerFaults(entries)).toEqual([])
  const replayed = new Map([...balancesOf(entries)].filter(([place, amount]) => isHolder(place) && amount !== 0))
  const places = await client.placeBalance.findMany({ where })
  const kept = places.flatMap(({ place, amount }) => (amount === 0n ? [] : [[place, Number(amount)] as const]))
  expect(new Map(kept)).toEqual(replayed)
  const [batches, lots, fleets] = await Promise.all([
    client.batch.findMany({ where }),
    client.stockLot.findMany({ where }),
    client.fleet.findMany({ where }),
  ])
  const tables = [
    ...batches.map(({ id, litres }) => [vesselPlace(id), Math.round(litres * 1000)] as const),
    ...lots.map(({ id, quantity }) => [filledPlace(id), quantity] as const),
    ...fleets.map(({ siteId, containerTypeId, cleanNow }) => [cleanPlace(siteId, containerTypeId), cleanNow] as const),
  ]
  expect(Object.fromEntries(tables)).toEqual(
    Object.fromEntries(tables.map(([place]) => [place, replayed.get(place) ?? 0])),
  )
}
