// Accounts as a table, in order of their ids.
import type { Prisma } from '../../database/client.ts'
import { listText } from '../../tables/cells.ts'
import { type Column, instantOwn, NAMED, named, own, tableById } from './table.ts'

/** Accounts of one page. */
const PAGE = 500

const WITH = {
  routes: { orderBy: { routeId: 'asc' }, include: { route: NAMED } },
  windows: { orderBy: { n: 'asc' } },
} satisfies Prisma.AccountInclude

type Account = Prisma.AccountGetPayload<{ include: typeof WITH }>

/** A window as a cell has it: its weekdays and its hours, such as `1,2,3 10:00-12:00`. */
function windowText({ weekdays, from, to }: Account['windows'][number]): string {
  return `${weekdays.join(',')} ${from}-${to}`
}

const COLUMNS: readonly Column<Account>[] = [
  ...own('externalRef', 'name'),
  { name: 'routes', of: ({ routes }) => listText(routes.map(({ route }) => String(named('Route', route)))) },
  { name: 'receivesWeekdays', of: ({ receivesWeekdays }) => listText(receivesWeekdays.map(String)) },
  ...own('settleDays', 'minDaysOnSale', 'maxEarlyDays', 'returnDays', 'notes'),
  { name: 'windows', of: ({ windows }) => listText(windows.map(windowText)) },
  ...[instantOwn('retiredAt'), instantOwn('updatedAt')],
]

export const accounts = tableById(COLUMNS, {
  perPage: PAGE,
  count: (client, asked) => client.account.count(asked),
  page: (client, asked) => client.account.findMany({ ...asked, include: WITH }),
})
