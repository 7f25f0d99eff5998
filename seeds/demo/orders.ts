// The demo's order lines: five weeks of the regular accounts' habits, and the key orders.

import type { LocalDate, OrderLineDocument } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import type { Names } from '../../src/records/scenario.ts'
import { REGULARS } from './accounts.ts'
import { firstOn, firstServe, firstServeOfReady, isBrought } from './calendar.ts'
import { fillableFrom, type ReadyDays, readyDays } from './cellar.ts'
import { keyOrders } from './key-orders.ts'
import { hithelowFirkinsCleanOn } from './sites.ts'
import { packOf, wayTo } from './ways.ts'

/** Regular orders of the first three weeks have been promised; what comes later is only asked for. */
const PROMISED_DAYS = 20

/** The day of the demo, and when its batches are ready. */
interface Cellar {
  today: LocalDate
  ready: ReadyDays
}

/** An order line, and whether the stock has containers for it. */
export interface DemoLine {
  line: OrderLineDocument
  fromStock: boolean
}

/** All order lines, the regular orders SLIP-1001 … by serve day, then the key orders SLIP-2001 …. */
export function demoLines(today: LocalDate): DemoLine[] {
  return [
    ...regularLines(today),
    ...keyOrders(today).map(({ orderId, fromStock, line }) => ({
      line: { id: `${orderId}/1`, orderId, ...line },
      fromStock,
    })),
  ]
}

/** Notes of the key orders. */
export function orderNames(today: LocalDate): Names {
  return Object.fromEntries(
    keyOrders(today).map(({ orderId, note }) => [orderId, { name: note, externalRef: orderId }]),
  )
}

/**
 * The first day on which an account can be served with a pack that is filled from now on, without a shortage: what is
 * wanted before that day comes from stock.
 */
function servedFromTanks(packId: string, accountId: string, cellar: Cellar): { on: LocalDate; noStock: boolean } {
  const { today, ready } = cellar
  const { from, noStock } = fillableFrom(packId, today, hithelowFirkinsCleanOn(today), ready)
  return { on: firstServe(from, packOf(packId).pack, wayTo(accountId, today)), noStock }
}

function regularLines(today: LocalDate): DemoLine[] {
  const cellar = { today, ready: readyDays(today) }
  const orders = REGULARS.flatMap(({ account, habits }) =>
    habits.flatMap((habit) => {
      const first = addDays(firstOn(addDays(today, 1), [habit.serveWeekday]), habit.fromWeek === 2 ? 7 : 0)
      const days = Array.from({ length: habit.weeksAhead }, (_, week) => addDays(first, 7 * habit.everyWeeks * week))
      return days
        .filter((day) => day <= addDays(today, 7 * habit.weeksAhead))
        .map((serveOn) => ({ accountId: account.id, serveOn, lines: Object.entries(habit.lines) }))
    }),
  )
  const wanted = orders
    .map((order) => ({
      ...order,
      lines: order.lines.filter(([packId]) => canBeKept(packId, order.accountId, order.serveOn, cellar)),
    }))
    .filter((order) => order.lines.length > 0)
    .sort((a, b) => (a.serveOn < b.serveOn ? -1 : a.serveOn > b.serveOn ? 1 : 0))
  return wanted.flatMap(({ accountId, serveOn, lines }, index) => {
    const orderId = `SLIP-${1001 + index}`
    return lines.map(([packId, quantity], number) => ({
      line: {
        id: `${orderId}/${number + 1}`,
        orderId,
        accountId,
        packId,
        quantity,
        serveOn,
        ...(serveOn <= addDays(today, PROMISED_DAYS) ? { promisedOn: serveOn } : {}),
      },
      fromStock: serveOn < servedFromTanks(packId, accountId, cellar).on,
    }))
  })
}

/**
 * Regular orders are taken only for days that could be kept: from stock in time, or from a tank where there is no stock;
 * and not where a holiday takes away the only day on which it could be brought.
 */
function canBeKept(packId: string, accountId: string, serveOn: LocalDate, cellar: Cellar): boolean {
  const way = wayTo(accountId, cellar.today)
  const { pack } = packOf(packId)
  if (!isBrought(serveOn, pack, way)) return false
  const { on, noStock } = servedFromTanks(packId, accountId, cellar)
  return serveOn >= (noStock ? on : firstServeOfReady(cellar.today, pack, way))
}
