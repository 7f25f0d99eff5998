// How far what this process keeps in memory is behind the records: a server that others write beside, or one that stands still, falls behind.
import type { PrismaClient } from '../database/client.ts'
import type { Snapshots } from './snapshots.ts'

/** Revisions by which the records are ahead of what is kept of them: the most of any distributor; 0 where nothing is kept. */
export async function revisionLag(client: PrismaClient, { revisions }: Pick<Snapshots, 'revisions'>): Promise<number> {
  if (revisions.size === 0) return 0
  const rows = await client.distributor.findMany({
    where: { id: { in: [...revisions.keys()] } },
    select: { id: true, revision: true },
  })
  return Math.max(0, ...rows.map(({ id, revision }) => revision - (revisions.get(id) ?? revision)))
}
