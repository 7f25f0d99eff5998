// Fleets with their counts of clean containers as a table, in order of their ids.
import { dayOf } from '../../database/calendar-day.ts'
import type { Prisma } from '../../database/client.ts'
import { listText } from '../../tables/cells.ts'
import { type Column, instantOwn, NAMED, named, own, tableById } from './table.ts'

/** Fleets of one page: each may expect many returns. */
const PAGE = 100

const WITH = {
  ...{ site: NAMED, containerType: NAMED },
  returns: { orderBy: { on: 'asc' } },
} satisfies Prisma.FleetInclude

type Fleet = Prisma.FleetGetPayload<{ include: typeof WITH }>

/** An expected return as a cell has it: its day and how many, such as `2027-03-01 x 12`. */
function returnText({ on, quantity }: Fleet['returns'][number]): string {
  return `${dayOf(on)} x ${quantity}`
}

const COLUMNS: readonly Column<Fleet>[] = [
  ...own('externalRef'),
  { name: 'site', of: ({ site }) => named('Site', site) },
  { name: 'containerType', of: ({ containerType }) => named('ContainerType', containerType) },
  ...own('cleanNow', 'washDays'),
  { name: 'returns', of: ({ returns }) => listText(returns.map(returnText)) },
  { name: 'containerTypeName', of: ({ containerType }) => containerType.name },
  ...[instantOwn('retiredAt'), instantOwn('updatedAt')],
]

export const fleets = tableById(COLUMNS, {
  perPage: PAGE,
  count: (client, asked) => client.fleet.count(asked),
  page: (client, asked) => client.fleet.findMany({ ...asked, include: WITH }),
})
