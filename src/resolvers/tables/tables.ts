// The tables that can be had, by their names.
import { accounts } from './accounts.ts'
import { beers } from './beers.ts'
import { fleets } from './fleets.ts'
import { movements } from './movements.ts'
import { orders } from './orders.ts'
import { plan } from './plan.ts'
import { stockLots } from './stock-lots.ts'
import type { Table } from './table.ts'

export const TABLES: Readonly<Record<string, Table>> = {
  orders,
  accounts,
  beers,
  'stock-lots': stockLots,
  fleets,
  plan,
  movements,
}
