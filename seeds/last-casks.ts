// The last forty casks: 24 in stock and 16 still in a vessel. More can be brewed, but not for the days that are asked for.

import type { BeerDocument, LocalDate, ProblemDocument } from '../src/planner/documents/index.ts'
import { addDays, withDefaults } from '../src/planner/documents/index.ts'
import type { Scenario } from '../src/records/scenario.ts'

/** Casks that can be served on `LAST_CASKS_SERVE_IN` days from today. */
export const LAST_CASKS = 40
/** Casks of them that are in stock, in the lot `STOCK`; the others are in the batch `BATCH`. */
export const IN_STOCK = 24
/** Days from today for which there is no other beer: a brew of today is served some days later. */
export const LAST_CASKS_SERVE_IN = 6
/** Accounts `A-1`, `A-2` …. */
export const ACCOUNTS = 20

const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7]
/** A firkin of nine imperial gallons. */
const FIRKIN_LITRES = 40.9

const ALE: BeerDocument = {
  id: 'ale',
  style: 'Bitter',
  fermentHours: 96,
  restHours: 24,
  dryHopHours: 0,
  crashHours: 48,
  maxTankDays: 20,
  brightDays: 1,
  maxBrightDays: 10,
  lossFraction: 0.06,
  packs: [
    {
      id: 'ale-firkin',
      containerTypeId: 'firkin',
      drawFrom: 'FERMENTER',
      conditioningDays: 2,
      settleDays: 1,
      shelfLifeDays: 42,
    },
  ],
}

/** The data set of a day; nothing is ordered, and no plan is in force. */
export function lastCasksScenario(today: LocalDate, timeZone: string): Scenario {
  const accounts = Array.from({ length: ACCOUNTS }, (_, index) => `A-${index + 1}`)
  return {
    distributor: { name: 'The last casks (invented)', timeZone },
    problem: withDefaults({
      today,
      horizonDays: 30,
      ...cellar(timeZone),
      fillers: [{ id: 'rack', siteId: 'yard', minutesPerDay: 300, setupMinutes: 20, minutesEach: { firkin: 4 } }],
      fleets: [{ siteId: 'yard', containerTypeId: 'firkin', cleanNow: 150 }],
      stores: [{ siteId: 'yard', climate: 'COLD', capacityLitres: 10_000 }],
      beers: [ALE],
      containerTypes: [{ id: 'firkin', kind: 'CASK', nominalLitres: FIRKIN_LITRES }],
      routes: [{ id: 'van', siteId: 'yard', weekdays: EVERY_DAY, transitDays: 0 }],
      accounts: accounts.map((id) => ({ id, routeIds: ['van'] })),
      ...standing(today),
      orderLines: [],
    }),
    names: {
      accounts: Object.fromEntries(accounts.map((id) => [id, { name: id, externalRef: id }])),
      packs: { 'ale-firkin': { name: 'Ale, firkin', externalRef: 'ale-firkin' } },
    },
  }
}

/** The site and its two fermenters. */
function cellar(timeZone: string): Pick<ProblemDocument, 'sites' | 'vessels'> {
  const vessel = {
    siteId: 'yard',
    kind: 'FERMENTER',
    capacityLitres: 1000,
    minFillLitres: 400,
    turnaroundDays: 1,
  } as const
  return {
    sites: [
      {
        id: 'yard',
        timeZone,
        brewWeekdays: EVERY_DAY,
        fillWeekdays: EVERY_DAY,
        brewsPerDay: 1,
        brewEnds: '16:00',
        fillStarts: '08:00',
      },
    ],
    vessels: [
      { id: 'FV1', ...vessel },
      { id: 'FV2', ...vessel },
    ],
  }
}

/** The batch and the lot in stock that make up the last casks. */
function standing(today: LocalDate): Pick<ProblemDocument, 'batches' | 'stock'> {
  return {
    batches: [
      {
        id: 'BATCH',
        beerId: 'ale',
        vesselId: 'FV1',
        litres: Math.ceil((LAST_CASKS - IN_STOCK) * FIRKIN_LITRES),
        readyAt: `${addDays(today, -2)}T06:00:00Z`,
      },
    ],
    stock: [
      {
        id: 'STOCK',
        siteId: 'yard',
        packId: 'ale-firkin',
        quantity: IN_STOCK,
        filledOn: addDays(today, -5),
        readyOn: addDays(today, -3),
        bestBefore: addDays(today, 37),
      },
    ],
  }
}
