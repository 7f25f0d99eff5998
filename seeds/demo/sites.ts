// The demo's two sites with their tanks, filling lines, stores, fleets and routes. All of it is invented.

import type {
  FillerDocument,
  FleetDocument,
  LocalDate,
  RouteDocument,
  SiteDocument,
  Store,
  VesselDocument,
} from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import type { Names } from '../../src/records/scenario.ts'
import { bankHolidaysAround } from './holidays.ts'

/** The day by which Hithelow's next firkins are back, washed and clean. */
export function hithelowFirkinsCleanOn(today: LocalDate): LocalDate {
  return addDays(today, 9)
}

/** Bank holidays around a day: as far back as the demo's batches and lots were made, and beyond its horizon. */
function closedDays(today: LocalDate): LocalDate[] {
  return bankHolidaysAround(today, 60, 60)
}

/** Both sites rest on bank holidays. */
export function demoSites(today: LocalDate): SiteDocument[] {
  const closedOn = closedDays(today)
  return [
    {
      id: 'mossrake',
      timeZone: 'Europe/London',
      brewWeekdays: [1, 2, 3, 4, 5],
      fillWeekdays: [1, 2, 3, 4, 5],
      closedOn,
      brewsPerDay: 2,
      brewLitres: 2000,
      brewEnds: '16:00',
      fillStarts: '07:30',
    },
    {
      id: 'hithelow',
      timeZone: 'Europe/London',
      brewWeekdays: [1, 2, 3, 4],
      fillWeekdays: [1, 2, 3, 4, 5],
      closedOn,
      brewsPerDay: 1,
      brewEnds: '15:00',
      fillStarts: '08:00',
    },
  ]
}

export const SITE_NAMES: Names = {
  mossrake: { name: 'Mossrake Yard', externalRef: 'SITE-1' },
  hithelow: { name: 'Hithelow Works', externalRef: 'SITE-2' },
}

const tank = (id: string, siteId: string, capacityLitres: number): VesselDocument => ({
  id,
  siteId,
  kind: 'FERMENTER',
  capacityLitres,
  minFillLitres: capacityLitres / 2,
  turnaroundDays: 1,
})

const bright = (id: string, siteId: string, capacityLitres: number): VesselDocument => ({
  ...tank(id, siteId, capacityLitres),
  kind: 'BRIGHT',
  minFillLitres: 200,
})

/** Eleven fermenters and three bright vessels, 1,200 to 3,600 L. */
export const DEMO_VESSELS: readonly VesselDocument[] = [
  tank('m-fv1', 'mossrake', 1600),
  tank('m-fv2', 'mossrake', 2000),
  tank('m-fv3', 'mossrake', 3600),
  tank('m-fv4', 'mossrake', 1200),
  tank('m-fv5', 'mossrake', 2400),
  tank('m-fv6', 'mossrake', 2400),
  bright('m-bt1', 'mossrake', 2000),
  bright('m-bt2', 'mossrake', 2400),
  tank('h-fv1', 'hithelow', 1600),
  tank('h-fv2', 'hithelow', 1200),
  tank('h-fv3', 'hithelow', 1200),
  tank('h-fv4', 'hithelow', 1600),
  tank('h-fv5', 'hithelow', 1200),
  bright('h-bt1', 'hithelow', 1600),
]

export const VESSEL_NAMES: Names = Object.fromEntries(
  DEMO_VESSELS.map(({ id, siteId }) => [
    id,
    {
      name: `${siteId === 'mossrake' ? 'Mossrake' : 'Hithelow'} ${id.slice(2).toUpperCase()}`,
      externalRef: id.toUpperCase(),
    },
  ]),
)

/**
 * A cask line and a keg line at Mossrake, one line for both at Hithelow. On the festival's fill day the cask line has
 * 90 minutes only (its compressor is serviced): (90 - 20) / 1.75 = 40 firkins of one batch.
 */
export function demoFillers(festivalFillDay: LocalDate): FillerDocument[] {
  return [
    {
      id: 'm-cask-line',
      siteId: 'mossrake',
      minutesPerDay: 210,
      minutesOn: { [festivalFillDay]: 90 },
      setupMinutes: 20,
      setupLossLitres: 4,
      minutesEach: { pin: 1.25, firkin: 1.75, kilderkin: 3 },
    },
    {
      id: 'm-keg-line',
      siteId: 'mossrake',
      minutesPerDay: 150,
      setupMinutes: 25,
      setupLossLitres: 6,
      minutesEach: { 'keg-30': 3, 'keg-50': 4 },
    },
    {
      id: 'h-line',
      siteId: 'hithelow',
      minutesPerDay: 150,
      // The stout needs a longer rinse after it.
      setupMinutes: { 'dog-ear': 15, 'sealing-wax': 15, 'night-post': 25, foolscap: 15 },
      setupLossLitres: 3,
      minutesEach: { pin: 1.5, firkin: 2, 'keg-30': 3.5 },
    },
  ]
}

export const FILLER_NAMES: Names = {
  'm-cask-line': { name: 'Mossrake cask line', externalRef: 'LINE-1' },
  'm-keg-line': { name: 'Mossrake keg line', externalRef: 'LINE-2' },
  'h-line': { name: 'Hithelow line', externalRef: 'LINE-3' },
}

export const DEMO_STORES: readonly Store[] = [
  { siteId: 'mossrake', climate: 'COLD', capacityLitres: 8000 },
  { siteId: 'mossrake', climate: 'WARM', capacityLitres: 1200 },
  { siteId: 'hithelow', climate: 'COLD', capacityLitres: 3000 },
  { siteId: 'hithelow', climate: 'WARM', capacityLitres: 1000 },
]

/**
 * Containers that stand clean, and those that are on their way back from earlier weeks. Only Hithelow's firkins are
 * short: 8 are clean, 60 come back on day 8 and are washed by day 9.
 */
export function demoFleets(today: LocalDate): FleetDocument[] {
  const returns = (...list: [day: number, quantity: number][]) =>
    list.map(([day, quantity]) => ({ on: addDays(today, day), quantity }))
  return [
    {
      siteId: 'mossrake',
      containerTypeId: 'pin',
      cleanNow: 24,
      returns: returns([5, 6], [12, 8]),
      washDays: 1,
    },
    {
      siteId: 'mossrake',
      containerTypeId: 'firkin',
      cleanNow: 110,
      returns: returns([2, 30], [6, 40], [9, 40], [13, 45], [16, 45], [20, 40]),
      washDays: 1,
    },
    { siteId: 'mossrake', containerTypeId: 'kilderkin', cleanNow: 12, returns: returns([7, 4], [14, 6]), washDays: 1 },
    {
      siteId: 'mossrake',
      containerTypeId: 'keg-30',
      cleanNow: 40,
      returns: returns([4, 12], [11, 14], [18, 14]),
      washDays: 1,
    },
    {
      siteId: 'mossrake',
      containerTypeId: 'keg-50',
      cleanNow: 50,
      returns: returns([4, 18], [11, 20], [18, 22]),
      washDays: 1,
    },
    { siteId: 'hithelow', containerTypeId: 'pin', cleanNow: 12, returns: returns([8, 4], [15, 4]), washDays: 1 },
    {
      siteId: 'hithelow',
      containerTypeId: 'firkin',
      cleanNow: 8,
      returns: returns([8, 60], [11, 32], [15, 28], [19, 24]),
      washDays: 1,
    },
    { siteId: 'hithelow', containerTypeId: 'keg-30', cleanNow: 24, returns: returns([6, 8], [13, 8]), washDays: 1 },
  ]
}

const THE_DAY_BEFORE = { daysBefore: 1, at: '15:00' }

/**
 * A dray every working day, a van into the hills on Tuesdays, a van along the coast, a boat to the island. Orders for the boat
 * close two days before.
 */
const ROUTES: readonly RouteDocument[] = [
  {
    ...{ id: 'town-dray', siteId: 'mossrake', weekdays: [1, 2, 3, 4, 5], transitDays: 0, capacityLitres: 4500 },
    cutOff: THE_DAY_BEFORE,
  },
  {
    ...{ id: 'hill-van', siteId: 'mossrake', weekdays: [2], transitDays: 0, capacityLitres: 1200 },
    cutOff: THE_DAY_BEFORE,
  },
  {
    ...{ id: 'coast-van', siteId: 'hithelow', weekdays: [1, 3, 5], transitDays: 0, capacityLitres: 2400 },
    cutOff: THE_DAY_BEFORE,
  },
  {
    ...{ id: 'island-boat', siteId: 'hithelow', weekdays: [4], transitDays: 1, capacityLitres: 600 },
    cutOff: { daysBefore: 2, at: '12:00' },
  },
]

/** The routes; none goes out on a bank holiday. */
export function demoRoutes(today: LocalDate): RouteDocument[] {
  return ROUTES.map((route) => ({ ...route, closedOn: closedDays(today) }))
}

export const ROUTE_NAMES: Names = {
  'town-dray': { name: 'Town dray', externalRef: 'R1' },
  'hill-van': { name: 'Hill van, Tuesdays', externalRef: 'R2' },
  'coast-van': { name: 'Coast van', externalRef: 'R3' },
  'island-boat': { name: 'Island boat, Thursdays', externalRef: 'R4' },
}
