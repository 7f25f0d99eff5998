// The ledger against the tables, as tests expect it.
import { expect } from 'vitest'
import type { PrismaClient } from '../../src/database/client.ts'
import { bookFaults } from '../../tools/seasons/book-faults.ts'

/** The ledger balances, and replaying it gives the tables. */
export async function expectReplayed(client: PrismaClient, distributorId: string): Promise<void> {
  expect(await bookFaults(client, distributorId)).toEqual([])
}
