// Planning values of the set-up as people type them, with limits far above what any brewery has (common practice, from
// memory): they catch slips, such as litres with two zeros too many or hours for days. The planner's own limits
// (problem.ts) are wider, for documents that are generated.
import { z } from 'zod'
import { problemShape } from '../../planner/documents/index.ts'

const { sites, vessels, beers, containerTypes, fillers, fleets, stores, routes, accounts, batches, stock } =
  problemShape.shape

const days = (most: number) => z.int().min(0).max(most)
const hours = (most: number) =>
  z
    .number()
    .min(0)
    .max(most * 24)
const count = (most: number) => z.int().min(0).max(most)

/** Days that plans may reach: more than a year says nothing of the beer of a small brewery, and takes memory for each day. */
export const MOST_HORIZON = 400

/** The largest tanks hold some ten thousand hectolitres. */
const MOST_LITRES = 1_000_000
const litres = z.number().min(0).max(MOST_LITRES)
const someLitres = z.number().gt(0).max(MOST_LITRES)
/** Minutes of one day. */
const minutes = z.number().min(0).max(1440)
/** Brews or transfers of one site on one day. */
const PER_DAY = 100
/** Days of fermentation, dry hopping or crash; cleaning, washing, transit and settling take less. */
const WORK_DAYS = 60
/** Days of rest, of turnaround, or until beer must be drawn: cellars keep strong beer for some years. */
const CELLAR_DAYS = 1100
/** Ten years: vintage beer. */
const SHELF_DAYS = 3660
/** A tun holds 982 litres; a wooden cask or a steel tank on a dray hardly more. */
const MOST_CONTAINER_LITRES = 1200
/** Litres that are lost in hoses and filler at one set-up. */
const MOST_SETUP_LOSS = 10_000

/** A narrower shape with the default that the planner's own has: defaults are known there alone. */
function narrowed(wide: z.ZodType<number, number | undefined>, narrow: z.ZodNumber): z.ZodDefault<z.ZodNumber> {
  return narrow.default(wide.parse(undefined))
}

const beer = beers.element.shape
const account = accounts.element.shape

/** The shapes of planning values, noun by noun and field by field. */
export const planned = {
  site: {
    ...sites.element.shape,
    brewsPerDay: count(PER_DAY),
    transfersPerDay: count(PER_DAY).optional(),
    brewLitres: someLitres.optional(),
  },
  vessel: {
    ...vessels.element.shape,
    capacityLitres: someLitres,
    minFillLitres: litres,
    turnaroundDays: days(CELLAR_DAYS),
  },
  beer: {
    ...beer,
    fermentHours: hours(WORK_DAYS),
    restHours: hours(CELLAR_DAYS),
    dryHopHours: hours(WORK_DAYS),
    crashHours: hours(WORK_DAYS),
    maxTankDays: days(CELLAR_DAYS),
    brightDays: days(CELLAR_DAYS),
    maxBrightDays: days(CELLAR_DAYS),
    maxOpenDays: days(CELLAR_DAYS).optional(),
    lossFraction: z.number().min(0).max(0.5),
    setupWeight: narrowed(beer.setupWeight, z.number().min(0).max(1000)),
  },
  pack: {
    ...beer.packs.element.shape,
    conditioningDays: days(CELLAR_DAYS),
    settleDays: days(WORK_DAYS),
    shelfLifeDays: days(SHELF_DAYS),
    primingWindowDays: days(CELLAR_DAYS).optional(),
  },
  containerType: {
    ...containerTypes.element.shape,
    nominalLitres: z.number().gt(0).max(MOST_CONTAINER_LITRES),
    overfillFraction: narrowed(containerTypes.element.shape.overfillFraction, z.number().min(0).max(0.5)),
  },
  filler: {
    ...fillers.element.shape,
    minutesPerDay: minutes,
    setupLossLitres: narrowed(fillers.element.shape.setupLossLitres, z.number().min(0).max(MOST_SETUP_LOSS)),
    washMinutes: narrowed(fillers.element.shape.washMinutes, minutes),
  },
  fleet: { ...fleets.element.shape, washDays: narrowed(fleets.element.shape.washDays, days(WORK_DAYS)) },
  store: { ...stores.element.shape, capacityLitres: litres },
  route: { ...routes.element.shape, transitDays: days(WORK_DAYS), capacityLitres: litres.optional() },
  account: {
    ...account,
    settleDays: days(WORK_DAYS).optional(),
    minDaysOnSale: narrowed(account.minDaysOnSale, days(CELLAR_DAYS)),
    maxEarlyDays: narrowed(account.maxEarlyDays, days(CELLAR_DAYS)),
    returnDays: days(CELLAR_DAYS).optional(),
  },
  batch: { ...batches.element.shape, litres },
  lot: stock.element.shape,
}

/** Most allergens that a label names: the law lists fourteen in the EU and the UK, others a few more. */
export const MOST_ALLERGENS = 20
/** Volumes of CO₂ of any beer (from memory: bottled wheat beers reach five). */
const volumes = z.number().min(0).max(6)
/** Specific gravity of wort or beer (common practice). */
const gravity = z.number().min(0.98).max(1.2)

/** What sheets need of the set-up and plans do not; all of it optional. Limits catch slips (common practice, from memory). */
export const onSheets = {
  containerType: {
    tareKg: z.number().gt(0).max(1000).optional(),
    /** Kegs are rated for a few bar, casks for less. */
    pressureBar: z.number().gt(0).max(20).optional(),
  },
  beer: {
    gravityEqualWithin: z.number().min(0).max(0.01).default(0.0005),
    originalGravity: gravity.optional(),
    abv: z.number().min(0).max(25).optional(),
    allergens: z.array(z.string().trim().min(1).max(100)).max(MOST_ALLERGENS).default([]),
  },
  pack: {
    finingsProduct: z.string().trim().min(1).max(200).optional(),
    finingsMl: z.number().gt(0).max(5000).optional(),
    finingsPer: z.enum(['HECTOLITRE', 'US_BEER_BARREL', 'IMPERIAL_BARREL']).optional(),
    sugar: z.enum(['SUCROSE', 'GLUCOSE', 'GLUCOSE_MONOHYDRATE']).optional(),
    targetCarbonation: volumes.optional(),
    leastCarbonation: volumes.optional(),
    mostCarbonation: volumes.optional(),
    hopsPerLitre: z.number().gt(0).max(50).optional(),
    purged: z.boolean().optional(),
  },
  account: { notes: z.string().trim().min(1).max(1000).optional() },
}
