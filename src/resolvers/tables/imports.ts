// The tables that can be sent: which columns say what, and which use-case writes the things.
import type { Scope } from '../../scopes.ts'
import { importOrders } from '../imports/import-orders.ts'
import { importAccounts, importBeers, importFleets, importStockLots } from '../imports/import-setup.ts'
import type { Imported } from '../imports/imported.ts'
import type { PlanningActor } from '../planning-actor.ts'
import {
  numbers,
  type ReadColumn,
  refList,
  refs,
  returnIn,
  several,
  textList,
  texts,
  truths,
  weekdays,
  windowIn,
} from './read-cells.ts'

export interface TableImport {
  scope: Scope
  /** What the input calls the list of the things. */
  list: string
  run: (actor: PlanningActor, input: unknown) => Promise<Imported>
  columns: readonly ReadColumn[]
  /** Columns without which no row can be read. */
  needed: readonly string[]
  /** Columns of the lines of which a thing has one in each row. Absent: each row is a thing of its own. */
  lines?: readonly ReadColumn[]
}

const setup = { scope: 'setup:write', needed: ['externalRef'] } as const

/** By the name of the table. */
export const TABLE_IMPORTS: Readonly<Record<string, TableImport>> = {
  orders: {
    ...{ scope: 'orders:write', list: 'orders', run: importOrders },
    columns: [...texts('externalRef'), ...refs('account'), ...texts('accept', 'note')],
    needed: ['externalRef', 'account', 'accept', 'pack', 'quantity', 'serveOn'],
    lines: [
      ...texts('lineExternalRef').map((column) => ({ ...column, field: 'externalRef' })),
      ...refs('pack'),
      ...numbers('quantity'),
      ...texts('serveOn', 'latestServeOn'),
      ...numbers('priority'),
      ...truths('splittable'),
    ],
  },
  accounts: {
    ...{ ...setup, list: 'accounts', run: importAccounts },
    columns: [
      ...texts('externalRef', 'name'),
      ...[refList('routes'), weekdays('receivesWeekdays')],
      ...numbers('settleDays', 'minDaysOnSale', 'maxEarlyDays', 'returnDays'),
      ...texts('notes'),
      several('windows', windowIn, '1,2,3 10:00-12:00, several with ; between them'),
    ],
  },
  beers: {
    ...{ ...setup, list: 'beers', run: importBeers },
    columns: [
      ...texts('externalRef', 'name', 'style'),
      ...numbers(
        'fermentHours',
        'restHours',
        'dryHopHours',
        'crashHours',
        'maxTankDays',
        'brightDays',
        'maxBrightDays',
      ),
      ...numbers('maxOpenDays', 'lossFraction'),
      refList('vessels'),
      ...numbers('setupWeight'),
      ...texts('washGroup'),
      ...numbers('finalGravity', 'gravityTolerance', 'gravityEqualWithin', 'originalGravity', 'abv'),
      textList('allergens'),
    ],
  },
  'stock-lots': {
    ...{ ...setup, list: 'stockLots', run: importStockLots },
    columns: [
      ...texts('externalRef', 'code'),
      ...refs('site', 'pack', 'batch'),
      ...numbers('quantity'),
      ...texts('filledOn', 'readyOn', 'bestBefore'),
    ],
  },
  fleets: {
    ...{ ...setup, list: 'fleets', run: importFleets },
    columns: [
      ...texts('externalRef'),
      ...refs('site', 'containerType'),
      ...numbers('cleanNow', 'washDays'),
      several('returns', returnIn, '2027-03-01 x 12, several with ; between them'),
    ],
  },
}
