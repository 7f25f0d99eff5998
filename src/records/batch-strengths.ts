// How strong batches are: by what was said of their brews, else as their beer is expected to be.
import type { TransactionClient } from '../database/client.ts'
import { type Beginning, begins, parentsOf, strengthOf } from '../floor/facts/batch-strength.ts'
import type { Strength } from '../sheets/strength.ts'
import { factsOn } from './fact-rows.ts'

/** The kinds of facts by which a batch begins. */
const BEGINNINGS = ['BREWED', 'PART_TRANSFERRED', 'BLENDED'] as const

/** Says how strong the beer of a batch is; `expected` is what its beer has, `batchId` null where the batch is not known. */
export type StrengthOf = (batchId: string | null | undefined, expected: number | null) => Strength | undefined

/** Reads what was said of batches and of those that they were made of: a query for each link of the longest chain. */
export async function readStrengths(
  tx: TransactionClient,
  distributorId: string,
  batchIds: readonly string[],
): Promise<StrengthOf> {
  const beginnings = new Map<string, Beginning>()
  const asked = new Set<string>()
  for (let ids = [...new Set(batchIds)]; ids.length > 0; ) {
    for (const id of ids) asked.add(id)
    for (const fact of await factsOn(tx, distributorId, { kind: 'BATCH', ids }, BEGINNINGS)) {
      const id = begins(fact)
      if (id !== undefined) beginnings.set(id, fact)
    }
    ids = [...new Set([...beginnings.values()].flatMap(parentsOf))].filter((id) => !asked.has(id))
  }
  return (batchId, expected) => {
    const said = strengthOf(batchId ?? '', beginnings)
    if (said !== undefined) return { abv: said, isExpected: false }
    return expected === null ? undefined : { abv: expected, isExpected: true }
  }
}
