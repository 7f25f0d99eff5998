// What happened since a draft was begun, and what of it was planned: the draft has lost that when it comes into force.
import type { TransactionClient } from '../../database/client.ts'
import type { CarryingFact } from '../../floor/draft-after.ts'
import { EFFECTIVE, factOf } from '../../records/fact-rows.ts'

/** The facts after a revision that count, oldest first, each with the decision that it carries out and what the draft knew in its place. */
export async function factsSince(
  tx: TransactionClient,
  distributorId: string,
  revision: number,
): Promise<CarryingFact[]> {
  const rows = await tx.fact.findMany({
    where: { distributorId, ...EFFECTIVE, revision: { gt: revision } },
    orderBy: { number: 'asc' },
  })
  const replaced = await tx.fact.findMany({
    where: { distributorId, revision: { lte: revision }, replacedById: { in: rows.map(({ id }) => id) } },
    orderBy: { number: 'asc' },
  })
  const before = new Map(replaced.map((row) => [row.replacedById, factOf(row)]))
  return rows.map((row) => {
    const known = before.get(row.id)
    return {
      fact: factOf(row),
      ...(row.decisionId === null ? {} : { decisionId: row.decisionId }),
      ...(known ? { before: known } : {}),
    }
  })
}
