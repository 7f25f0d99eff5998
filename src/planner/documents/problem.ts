// The problem document: its shape as zod schemas and as types. What a shape cannot say (references, calendars,
// values that depend on each other) is said by parse-problem.ts.
import { z } from 'zod'
import { localDate } from './local-date.ts'
import { reason } from './reason.ts'

/** An RFC 3339 instant with an offset. */
export const instant = z.iso.datetime({ offset: true })
/** A wall-clock time, `HH:mm`. */
const timeOfDay = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'a time of day is written HH:mm')
const id = z.string().min(1).max(200)
const weekdays = z.array(z.int().min(1).max(7)).max(7)
const count = z.int().min(0).max(1_000_000)
const days = z.int().min(0).max(10_000)
const hours = z.number().min(0).max(100_000)
const litres = z.number().min(0).max(100_000_000)
const positiveLitres = z.number().gt(0).max(100_000_000)

const site = z.strictObject({
  id,
  timeZone: z.string().min(1),
  brewWeekdays: weekdays,
  fillWeekdays: weekdays,
  closedOn: z.array(localDate).default([]),
  noFillsOn: z.array(localDate).default([]),
  brewsPerDay: count,
  brewsOn: z.record(localDate, count).default({}),
  transfersPerDay: count.optional(),
  transfersOn: z.record(localDate, count).default({}),
  brewLitres: positiveLitres.optional(),
  brewEnds: timeOfDay,
  fillStarts: timeOfDay,
})

const vessel = z.strictObject({
  id,
  siteId: id,
  kind: z.enum(['FERMENTER', 'BRIGHT']),
  capacityLitres: positiveLitres,
  minFillLitres: litres,
  turnaroundDays: days,
  availableFrom: localDate.optional(),
  outOfService: z.array(z.strictObject({ from: localDate, to: localDate })).default([]),
})

const pack = z.strictObject({
  id,
  containerTypeId: id,
  drawFrom: z.enum(['FERMENTER', 'BRIGHT']),
  conditioningDays: days,
  conditionIn: z.enum(['COLD', 'WARM']).default('COLD'),
  settleDays: days,
  shelfLifeDays: days,
  primed: z.boolean().default(false),
  primingWindowDays: days.optional(),
})

const beer = z.strictObject({
  id,
  style: z.string(),
  fermentHours: hours,
  restHours: hours,
  dryHopHours: hours,
  crashHours: hours,
  maxTankDays: days,
  brightDays: days,
  maxBrightDays: days,
  maxOpenDays: days.optional(),
  lossFraction: z.number().min(0).lt(1),
  vesselIds: z.array(id).optional(),
  setupWeight: z.number().min(0).max(1e9).default(1),
  washGroup: z.string().min(1).max(100).optional(),
  packs: z.array(pack),
})

const containerType = z.strictObject({
  id,
  kind: z.enum(['CASK', 'KEG']),
  nominalLitres: litres,
  overfillFraction: z.number().min(0).max(1).default(0),
})

const minutes = z.number().min(0).max(1_000_000_000)

const filler = z.strictObject({
  id,
  siteId: id,
  minutesPerDay: minutes,
  minutesOn: z.record(localDate, minutes).default({}),
  setupMinutes: z.union([minutes, z.record(id, minutes)]),
  setupLossLitres: litres.default(0),
  washMinutes: minutes.default(0),
  minutesEach: z.record(id, minutes),
})

const fleet = z.strictObject({
  siteId: id,
  containerTypeId: id,
  cleanNow: count,
  returns: z.array(z.strictObject({ on: localDate, quantity: count })).default([]),
  washDays: days.default(0),
})

const store = z.strictObject({ siteId: id, climate: z.enum(['COLD', 'WARM']), capacityLitres: litres })

const route = z.strictObject({
  id,
  siteId: id,
  weekdays,
  transitDays: days,
  capacityLitres: litres.optional(),
  capacityLitresOn: z.record(localDate, litres).default({}),
  closedOn: z.array(localDate).default([]),
  cutOff: z.strictObject({ daysBefore: z.int().min(0).max(60), at: timeOfDay }).optional(),
})

const account = z.strictObject({
  id,
  routeIds: z.array(id),
  receivesWeekdays: weekdays.default([1, 2, 3, 4, 5, 6, 7]),
  settleDays: days.optional(),
  minDaysOnSale: days.default(0),
  maxEarlyDays: days.default(6),
  returnDays: days.optional(),
})

const batch = z.strictObject({
  id,
  beerId: id,
  vesselId: id,
  litres: positiveLitres,
  readyAt: instant,
  transferredOn: localDate.optional(),
  openedOn: localDate.optional(),
  primable: z.boolean().default(true),
  quarantined: z.boolean().default(false),
})

const stockLot = z.strictObject({
  id,
  siteId: id,
  packId: id,
  quantity: count,
  filledOn: localDate,
  readyOn: localDate,
  bestBefore: localDate,
  quarantined: z.boolean().default(false),
})

const orderLine = z.strictObject({
  id,
  orderId: id,
  accountId: id,
  packId: id,
  quantity: z.int().min(1).max(1_000_000),
  serveOn: localDate,
  latestServeOn: localDate.optional(),
  promisedOn: localDate.optional(),
  priority: z.union([z.literal(1), z.literal(2), z.literal(3)]).default(3),
  splittable: z.boolean().default(false),
  placedAt: instant.optional(),
})

/** The cost terms of section 8, in the order in which they are reported; values are the defaults. */
export const DEFAULT_COSTS = {
  unservedPromised: 200,
  unserved: 20,
  latePromised: 20,
  late: 2,
  dumped: 5,
  unsold: 2,
  brew: 100,
  setup: 10,
  drop: 5,
  standing: 0.02,
  churn: 25,
} as const

export type CostTerm = keyof typeof DEFAULT_COSTS
export const COST_TERMS = Object.keys(DEFAULT_COSTS) as readonly CostTerm[]
export type Costs = Record<CostTerm, number>

/** The planner keeps the number of a route in two bytes, for every day on which a line may leave. */
export const MOST_ROUTES = 65_536

const cost = z.number().min(0).max(1e9)
export const costsShape = z.strictObject({
  unservedPromised: cost,
  unserved: cost,
  latePromised: cost,
  late: cost,
  dumped: cost,
  unsold: cost,
  brew: cost,
  setup: cost,
  drop: cost,
  standing: cost,
  churn: cost,
})

// ---- the plan ------------------------------------------------------------------------------------------------

const fixed = z.boolean().optional()

/** A plan document (section 1): decisions, what is not or late served and why, and the cost by term. */
export const planShape = z.strictObject({
  brews: z.array(z.strictObject({ id, beerId: id, vesselId: id, brewOn: localDate, litres: positiveLitres, fixed })),
  transfers: z.array(z.strictObject({ id, batchId: id, toVesselId: id, on: localDate, litres: positiveLitres, fixed })),
  fillRuns: z.array(
    z.strictObject({ id, batchId: id, fillerId: id, on: localDate, packId: id, quantity: z.int().min(1), fixed }),
  ),
  deliveries: z.array(
    z.strictObject({
      orderLineId: id,
      routeId: id,
      dispatchOn: localDate,
      serveOn: localDate,
      from: z.array(z.strictObject({ fillRunId: id.optional(), stockLotId: id.optional(), quantity: z.int().min(1) })),
    }),
  ),
  dumped: z.array(z.strictObject({ batchId: id, on: localDate, litres: positiveLitres })),
  unserved: z.array(z.strictObject({ orderLineId: id, quantity: z.int().min(1), reasons: z.array(reason) })),
  late: z.array(z.strictObject({ orderLineId: id, reasons: z.array(reason) })).optional(),
  brokenPromises: z
    .array(
      z.strictObject({
        orderLineId: id,
        promisedOn: localDate,
        now: localDate.nullable(),
        reasons: z.array(reason),
      }),
    )
    .optional(),
  moved: z
    .array(z.strictObject({ kind: z.enum(['BREW', 'TRANSFER', 'FILL_RUN']), id, reasons: z.array(reason) }))
    .optional(),
  cost: z.strictObject({ total: z.number(), terms: costsShape }),
})

/** A problem document (section 1). */
export const problemShape = z.strictObject({
  today: localDate,
  horizonDays: z.int().min(1).max(4000),
  frozenDays: days.default(0),
  sites: z.array(site),
  vessels: z.array(vessel),
  fillers: z.array(filler),
  stores: z.array(store),
  fleets: z.array(fleet),
  beers: z.array(beer),
  containerTypes: z.array(containerType),
  routes: z.array(route).max(MOST_ROUTES),
  accounts: z.array(account),
  batches: z.array(batch),
  stock: z.array(stockLot),
  orderLines: z.array(orderLine),
  baseline: planShape.optional(),
  costs: costsShape.partial().optional(),
})

/** A problem as the planner knows it: everything that has a default has a value. */
export type Problem = z.output<typeof problemShape>
/** A problem as a document writes it: what has a default may be left out. */
export type ProblemDocument = z.input<typeof problemShape>
export type Plan = z.infer<typeof planShape>
export type Site = Problem['sites'][number]
export type Vessel = Problem['vessels'][number]
export type Filler = Problem['fillers'][number]
export type Store = Problem['stores'][number]
export type Fleet = Problem['fleets'][number]
export type Beer = Problem['beers'][number]
export type Pack = Beer['packs'][number]
export type ContainerType = Problem['containerTypes'][number]
export type Route = Problem['routes'][number]
export type Account = Problem['accounts'][number]
export type Batch = Problem['batches'][number]
export type StockLot = Problem['stock'][number]
export type OrderLine = Problem['orderLines'][number]

/** Zero under every term: the cost of a plan before it is computed. */
export const NO_COST: Plan['cost'] = {
  total: 0,
  terms: {
    unservedPromised: 0,
    unserved: 0,
    latePromised: 0,
    late: 0,
    dumped: 0,
    unsold: 0,
    brew: 0,
    setup: 0,
    drop: 0,
    standing: 0,
    churn: 0,
  },
}
