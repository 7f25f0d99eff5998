// Stock lots as a table, in order of their ids.
import type { Prisma } from '../../database/client.ts'
import { type Column, dayOwn, instantOwn, NAMED, named, own, tableOf, withoutParameters } from './table.ts'

/** Lots of one page. */
const PAGE = 500

const WITH = {
  ...{ site: NAMED, pack: NAMED },
  batch: { select: { id: true, externalRef: true } },
} satisfies Prisma.StockLotInclude

type Lot = Prisma.StockLotGetPayload<{ include: typeof WITH }>

const COLUMNS: readonly Column<Lot>[] = [
  ...own('externalRef', 'code'),
  { name: 'site', of: ({ site }) => named('Site', site) },
  { name: 'pack', of: ({ pack }) => named('Pack', pack) },
  { name: 'batch', of: ({ batch }) => named('Batch', batch) },
  ...own('quantity'),
  ...[dayOwn('filledOn'), dayOwn('readyOn'), dayOwn('bestBefore')],
  { name: 'packName', of: ({ pack }) => pack.name },
  ...own('quarantined'),
  instantOwn('updatedAt'),
]

export const stockLots = tableOf('any', COLUMNS, async ({ client, distributorId }, parameters) => {
  withoutParameters(parameters)
  return {
    count: await client.stockLot.count({ where: { distributorId } }),
    page: (after) =>
      client.stockLot.findMany({
        where: { distributorId, ...(after && { id: { gt: after.id } }) },
        ...{ orderBy: { id: 'asc' }, take: PAGE, include: WITH },
      }),
  }
})
