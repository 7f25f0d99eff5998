// The accounts that a route visits on a day, as the driver has to know them.
import { dayNumber, isoWeekday, type LocalDate } from '../../planner/documents/index.ts'
import type { DropAccount } from '../../sheets/load-sheet.ts'
import type { SheetSession } from './sheet-session.ts'

/** The accounts by id, with their places on the route and the hours in which they take deliveries on the day. */
export async function dropAccounts(
  { tx, distributorId }: SheetSession,
  routeId: string,
  accountIds: readonly string[],
  arrival: LocalDate,
): Promise<Map<string, DropAccount>> {
  const rows = await tx.account.findMany({
    where: { distributorId, id: { in: [...accountIds] } },
    include: { windows: { orderBy: { n: 'asc' } }, routes: { where: { routeId } } },
  })
  const weekday = isoWeekday(dayNumber(arrival))
  return new Map(
    rows.map(({ id, name, notes, windows, routes }) => {
      return [
        id,
        {
          ...{ id, name, position: routes[0]?.position ?? undefined, notes: notes ?? undefined },
          windows: windows.filter((each) => each.weekdays.includes(weekday)).map(({ from, to }) => `${from}–${to}`),
        },
      ]
    }),
  )
}
