// The demo's filled stock: what the orders want before the tanks can serve them, and an old lot that no order wants.

import type { LocalDate, StockLot } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import type { Names } from '../../src/records/scenario.ts'
import { grouped, sum } from '../generator/demand.ts'
import { lastOn } from './calendar.ts'
import type { DemoLine } from './orders.ts'
import { demoSites } from './sites.ts'
import { packOf, wayTo } from './ways.ts'

/** Containers in stock beyond what orders want, for the first order that asks. */
const SPARE: Readonly<Record<string, number>> = { 'marginalia-keg-50': 12, 'foolscap-firkin': 10 }

/** One lot for each site and pack, filled about a week ago and fit to leave today: what its orders want, and what is spare. */
export function demoStock(lines: readonly DemoLine[], today: LocalDate): StockLot[] {
  const closedOn = demoSites(today)[0]?.closedOn
  const filledBy = (day: LocalDate) => lastOn(day, [1, 2, 3, 4, 5], closedOn)
  const wanted = lines
    .filter(({ fromStock }) => fromStock)
    .map(({ line }) => ({ line, siteId: wayTo(line.accountId, today).site.id }))
  const lots = [...grouped(wanted, ({ line, siteId }) => `${siteId} ${line.packId}`).values()].map(
    (entries): StockLot => {
      const { siteId, line } = entries[0]!
      const quantity = sum(entries, (entry) => entry.line.quantity) + (SPARE[line.packId] ?? 0)
      return lot(`lot-${line.packId}`, siteId, line.packId, quantity, filledBy(addDays(today, -6)))
    },
  )
  // Pins of an old fill: their best before is three days from now, no order wants them.
  const old = filledBy(addDays(today, -32))
  return [
    ...lots,
    { ...lot('lot-foolscap-pin-old', 'mossrake', 'foolscap-pin', 2, old), bestBefore: addDays(today, 3) },
  ]
}

/** Lot codes, such as `L-FOOLSCAP-PIN`. */
export function stockNames(lots: readonly StockLot[]): Names {
  return Object.fromEntries(lots.map(({ id }) => [id, { name: id.replace('lot-', 'L-').toUpperCase() }]))
}

function lot(id: string, siteId: string, packId: string, quantity: number, filledOn: LocalDate): StockLot {
  const { pack } = packOf(packId)
  return {
    id,
    siteId,
    packId,
    quantity,
    filledOn,
    readyOn: addDays(filledOn, pack.conditioningDays),
    bestBefore: addDays(filledOn, pack.shelfLifeDays),
    quarantined: false,
  }
}
