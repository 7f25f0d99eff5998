// Movements as a table, in the order of the ledger, which only grows.
import { byId } from '../../records/sheet-records.ts'
import type { Movement } from '../../sheets/movement.ts'
import { rounded } from '../../tables/cells.ts'
import type { Actor } from '../actor.ts'
import { countMovements, movementFilter, readMovements } from '../sheets/read-movements.ts'
import { type Column, NAMED, named, own, tableOf } from './table.ts'

/** Movements of one page. */
const PAGE = 500

type Named = { id: string; externalRef: string | null; name: string } | undefined

interface Row extends Movement {
  account: Named
  beer: Named
  containerType: Named
  batchCode: string | undefined
}

const COLUMNS: readonly Column<Row>[] = [
  ...own('kind', 'day', 'revision', 'n', 'isReversal', 'isAssumed'),
  { name: 'account', of: ({ account }) => named('Account', account) },
  { name: 'accountName', of: ({ account }) => account?.name },
  { name: 'orderNumber', of: ({ orderNumber }) => orderNumber },
  { name: 'orderRef', of: ({ orderRef }) => orderRef },
  { name: 'lot', of: ({ lotCode }) => lotCode },
  { name: 'batch', of: ({ batchCode }) => batchCode },
  { name: 'beer', of: ({ beer }) => named('Beer', beer) },
  { name: 'beerName', of: ({ beer }) => beer?.name },
  { name: 'containerType', of: ({ containerType }) => named('ContainerType', containerType) },
  ...own('containers'),
  { name: 'litres', of: ({ litres }) => rounded(litres, 3) },
  { name: 'abv', of: ({ strength }) => strength && rounded(strength.abv, 6) },
  { name: 'isAbvExpected', of: ({ strength }) => strength?.isExpected ?? false },
  { name: 'depositContainers', of: ({ deposits }) => deposits },
]

/** Movements, of which parameters may ask for some as the filter of the API does; a site by its reference. */
export const movements = tableOf<Row>('movements:read', COLUMNS, async (actor, { site, ...parameters }) => {
  const filter = await movementFilter(actor, {
    ...parameters,
    ...(site === undefined ? {} : { site: { externalRef: site } }),
  })
  return {
    count: await countMovements(actor, filter),
    page: async (after) =>
      withNames(actor, (await readMovements(actor, filter, { after, count: PAGE, fromEnd: false })).movements),
  }
})

async function withNames({ client, distributorId }: Actor, movements: readonly Movement[]): Promise<Row[]> {
  const of = (ids: (string | undefined)[]) => ({
    distributorId,
    id: { in: [...new Set(ids.flatMap((id) => id ?? []))] },
  })
  const accounts = byId(
    await client.account.findMany({ where: of(movements.map(({ accountId }) => accountId)), ...NAMED }),
  )
  const beers = byId(await client.beer.findMany({ where: of(movements.map(({ beerId }) => beerId)), ...NAMED }))
  const types = byId(
    await client.containerType.findMany({ where: of(movements.map((each) => each.containerTypeId)), ...NAMED }),
  )
  const batches = byId(await client.batch.findMany({ where: of(movements.map(({ batchId }) => batchId)) }))
  return movements.map((movement) => ({
    ...movement,
    account: accounts.get(movement.accountId ?? ''),
    beer: beers.get(movement.beerId ?? ''),
    containerType: types.get(movement.containerTypeId ?? ''),
    batchCode: batches.get(movement.batchId ?? '')?.code,
  }))
}
