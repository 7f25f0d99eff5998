// How many things of each kind the set-up of one distributor may have: far more than a small brewery has, and few enough that the
// planner's problem of all of them stays within memory.
import type { TransactionClient } from '../../database/client.ts'
import { issue } from '../../errors.ts'
import type { References, ThingKind } from '../thing-ref.ts'

interface Most {
  /** Most things of the kind that are in use. */
  most: number
  /** Those that are: not retired, and of beer what is there still. */
  count: (tx: TransactionClient, distributorId: string) => Promise<number>
}

const inUse = (distributorId: string) => ({ where: { distributorId, retiredAt: null } })

/** Chosen for this program: some ten times what the large data set of the benchmarks has. Kinds that set-up does not create are absent. */
const MOST: Readonly<Partial<Record<ThingKind, Most>>> = {
  // Codes of lots have one character for the site.
  Site: { most: 36, count: (tx, id) => tx.site.count(inUse(id)) },
  Vessel: { most: 1000, count: (tx, id) => tx.vessel.count(inUse(id)) },
  Beer: { most: 1000, count: (tx, id) => tx.beer.count(inUse(id)) },
  Pack: { most: 3000, count: (tx, id) => tx.pack.count(inUse(id)) },
  ContainerType: { most: 200, count: (tx, id) => tx.containerType.count(inUse(id)) },
  Filler: { most: 200, count: (tx, id) => tx.filler.count(inUse(id)) },
  Fleet: { most: 1000, count: (tx, id) => tx.fleet.count(inUse(id)) },
  Store: { most: 200, count: (tx, id) => tx.store.count(inUse(id)) },
  Route: { most: 500, count: (tx, id) => tx.route.count(inUse(id)) },
  Account: { most: 10_000, count: (tx, id) => tx.account.count(inUse(id)) },
  Batch: { most: 2000, count: (tx, id) => tx.batch.count({ where: { distributorId: id, emptiedOn: null } }) },
  StockLot: {
    most: 20_000,
    count: (tx, id) => tx.stockLot.count({ where: { distributorId: id, quantity: { gt: 0 } } }),
  },
}

/** Notes that a distributor has as many things of the kind as it may. */
export async function noteTooMany(
  tx: TransactionClient,
  distributorId: string,
  kind: ThingKind,
  refs: References,
): Promise<void> {
  const limit = MOST[kind]
  if (!limit) return
  const there = await limit.count(tx, distributorId)
  if (there >= limit.most)
    refs.note(issue('', 'TOO_MANY_THINGS', `there are ${there} of the kind ${kind}, and at most ${limit.most} may be`))
}
