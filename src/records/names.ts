// What people call the things of a distributor, read together: for sheets, which name many of them.
import type { TransactionClient } from '../database/client.ts'
import type { NameOf } from '../sheets/name-of.ts'

/** Reads the names of the set-up, and the codes of the batches that are named. Seven queries. */
export async function readNames(
  tx: TransactionClient,
  distributorId: string,
  batchIds: readonly string[],
): Promise<NameOf> {
  const named = { where: { distributorId }, select: { id: true, name: true } } as const
  const lists = [
    ...(await tx.beer.findMany(named)).map((row) => ['beer', row] as const),
    ...(await tx.pack.findMany(named)).map((row) => ['pack', row] as const),
    ...(await tx.vessel.findMany(named)).map((row) => ['vessel', row] as const),
    ...(await tx.filler.findMany(named)).map((row) => ['filler', row] as const),
    ...(await tx.route.findMany(named)).map((row) => ['route', row] as const),
    ...(await tx.containerType.findMany(named)).map((row) => ['containerType', row] as const),
  ]
  const batches = await tx.batch.findMany({
    where: { distributorId, id: { in: [...new Set(batchIds)] } },
    select: { id: true, code: true },
  })
  const names = new Map<string, string>(lists.map(([kind, { id, name }]) => [`${kind}/${id}`, name]))
  for (const { id, code } of batches) names.set(`batch/${id}`, code)
  return (kind, id) => names.get(`${kind}/${id}`) ?? id
}
