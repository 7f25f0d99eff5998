// Stock lots as a table, in order of their ids.
import type { Prisma } from '../../database/client.ts'
import { type Column, dayOwn, instantOwn, NAMED, named, own, tableById } from './table.ts'

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

export const stockLots = tableById(COLUMNS, {
  perPage: PAGE,
  count: (client, asked) => client.stockLot.count(asked),
  page: (client, asked) => client.stockLot.findMany({ ...asked, include: WITH }),
})
