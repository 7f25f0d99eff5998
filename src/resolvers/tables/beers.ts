// Beers as a table, in order of their ids.
import type { Prisma } from '../../database/client.ts'
import { listText } from '../../tables/cells.ts'
import { type Column, instantOwn, NAMED, named, own, tableById } from './table.ts'

/** Beers of one page: each may list many vessels. */
const PAGE = 100

const WITH = {
  vessels: { orderBy: { vesselId: 'asc' }, include: { vessel: NAMED } },
} satisfies Prisma.BeerInclude

type Beer = Prisma.BeerGetPayload<{ include: typeof WITH }>

const COLUMNS: readonly Column<Beer>[] = [
  ...own('externalRef', 'name', 'style', 'fermentHours', 'restHours', 'dryHopHours', 'crashHours', 'maxTankDays'),
  ...own('brightDays', 'maxBrightDays', 'maxOpenDays', 'lossFraction'),
  {
    name: 'vessels',
    of: ({ anyVessel, vessels }) =>
      anyVessel ? undefined : listText(vessels.map(({ vessel }) => String(named('Vessel', vessel)))),
  },
  ...own(
    'setupWeight',
    'washGroup',
    'finalGravity',
    'gravityTolerance',
    'gravityEqualWithin',
    'originalGravity',
    'abv',
  ),
  { name: 'allergens', of: ({ allergens }) => listText(allergens) },
  ...[instantOwn('retiredAt'), instantOwn('updatedAt')],
]

export const beers = tableById(COLUMNS, {
  perPage: PAGE,
  count: (client, asked) => client.beer.count(asked),
  page: (client, asked) => client.beer.findMany({ ...asked, include: WITH }),
})
