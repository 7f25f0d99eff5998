// The demo: Quillhaven Brewery, an invented brewery that supplies pubs from two sites. Five weeks of orders from today
// on show every situation; key-orders.ts says which order shows which, and the arithmetic behind it.
import { type LocalDate, withDefaults } from '../src/planner/documents/index.ts'
import { fleetKey, type Scenario, storeKey } from '../src/records/scenario.ts'
import { CONTAINER_TYPES } from './containers.ts'
import { ACCOUNT_NAMES, DEMO_ACCOUNTS } from './demo/accounts.ts'
import { BEER_NAMES, CONTAINER_NAMES, DEMO_BEERS, PACK_NAMES } from './demo/beers.ts'
import { BATCH_NAMES, demoBatches } from './demo/cellar.ts'
import { festivalFillDay } from './demo/festival.ts'
import { demoLines, orderNames } from './demo/orders.ts'
import { DEMO_SHEETS } from './demo/sheets.ts'
import {
  DEMO_STORES,
  DEMO_VESSELS,
  demoFillers,
  demoFleets,
  demoRoutes,
  demoSites,
  FILLER_NAMES,
  ROUTE_NAMES,
  SITE_NAMES,
  VESSEL_NAMES,
} from './demo/sites.ts'
import { demoStock, stockNames } from './demo/stock.ts'

export { KEY_ORDERS } from './demo/key-orders.ts'

const HORIZON_DAYS = 42

/** The demo distributor as it stands on `today`. All dates follow from it; the same day gives the same scenario. */
export function demoScenario(today: LocalDate): Scenario {
  const lines = demoLines(today)
  const stock = demoStock(lines, today)
  const fleets = demoFleets(today)
  return {
    distributor: { name: 'Quillhaven Brewery', timeZone: 'Europe/London' },
    problem: withDefaults({
      today,
      horizonDays: HORIZON_DAYS,
      frozenDays: 2,
      sites: demoSites(today),
      vessels: [...DEMO_VESSELS],
      fillers: demoFillers(festivalFillDay(today)),
      stores: [...DEMO_STORES],
      fleets,
      beers: [...DEMO_BEERS],
      containerTypes: CONTAINER_TYPES.map((type) => ({ ...type })),
      routes: demoRoutes(today),
      accounts: [...DEMO_ACCOUNTS],
      batches: demoBatches(today),
      stock,
      orderLines: lines.map(({ line }) => line),
    }),
    names: {
      sites: SITE_NAMES,
      vessels: VESSEL_NAMES,
      beers: BEER_NAMES,
      packs: PACK_NAMES,
      containerTypes: CONTAINER_NAMES,
      fillers: FILLER_NAMES,
      stores: Object.fromEntries(
        DEMO_STORES.map((store) => [
          storeKey(store),
          { name: `${SITE_NAMES[store.siteId]?.name}, ${store.climate.toLowerCase()} store` },
        ]),
      ),
      fleets: Object.fromEntries(
        fleets.map((fleet) => [fleetKey(fleet), { externalRef: fleetKey(fleet).toUpperCase() }]),
      ),
      routes: ROUTE_NAMES,
      accounts: ACCOUNT_NAMES,
      orders: orderNames(today),
      batches: BATCH_NAMES,
      stock: stockNames(stock),
    },
    sheets: DEMO_SHEETS,
  }
}
