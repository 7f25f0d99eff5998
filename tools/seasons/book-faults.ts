// The ledger against the tables: what its entries say when they are replayed is what batches, lots, fleets and places hold.
import type { PrismaClient } from '../../src/database/client.ts'
import { balancesOf, ledgerFaults } from '../../src/floor/ledger/identity.ts'
import { cleanPlace, filledPlace, isHolder, vesselPlace } from '../../src/floor/ledger/place.ts'
import { entryOf } from '../../src/records/ledger.ts'

/** What is wrong with the ledger of a distributor, or with a table that does not say what it gives; in words. Empty: nothing. */
export async function bookFaults(client: PrismaClient, distributorId: string): Promise<string[]> {
  const where = { distributorId }
  const entries = (await client.ledgerEntry.findMany({ where })).map(entryOf)
  const faults = ledgerFaults(entries).map((fault) => `the ledger: ${fault}`)
  const balances = balancesOf(entries)
  const expected = (place: string, amount: number, table: string) => {
    const replayed = balances.get(place) ?? 0
    if (replayed !== amount) faults.push(`${table} has ${amount} at ${place}, the ledger gives ${replayed}`)
  }
  const rows = await client.placeBalance.findMany({ where })
  const known = new Map(rows.map(({ place, amount }) => [place, Number(amount)]))
  const holders = new Set([...known.keys(), ...[...balances.keys()].filter(isHolder)])
  for (const place of holders) expected(place, known.get(place) ?? 0, 'the table of balances')
  for (const { id, litres } of await client.batch.findMany({ where }))
    expected(vesselPlace(id), Math.round(1000 * litres), 'the batch')
  for (const { id, quantity } of await client.stockLot.findMany({ where }))
    expected(filledPlace(id), quantity, 'the lot')
  for (const { siteId, containerTypeId, cleanNow } of await client.fleet.findMany({ where }))
    expected(cleanPlace(siteId, containerTypeId), cleanNow, 'the fleet')
  return faults
}
