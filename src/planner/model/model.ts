// The compiled problem: ids become integers, dates become days after today, litres become whole units, once, at the
// door of the search. Nothing here changes during a search except that lines can be added (trial placement).
import type { CutOff } from '../calendar/cut-off.ts'
import type { CostTerm, Problem } from '../documents/problem.ts'

/** Index of each cost term in the ledger. */
export const TERM = {
  unservedPromised: 0,
  unserved: 1,
  latePromised: 2,
  late: 3,
  dumped: 4,
  unsold: 5,
  brew: 6,
  setup: 7,
  drop: 8,
  standing: 9,
  churn: 10,
} as const satisfies Record<CostTerm, number>

export interface SiteModel {
  id: string
  /** By day: the latest brew day, and the latest fill day, that is not after it; −1 where there is none. */
  brewBy: Int32Array
  fillBy: Int32Array
  brewOn: Uint8Array
  fillOn: Uint8Array
  brewsPerDay: number
  /** By day: brews of a day that has a limit of its own (V1), else -1. */
  brewsOnly: Float64Array
  /** Transfers that may start on one day (V11); infinity where there is no limit. */
  transfersPerDay: number
  /** By day: transfers of a day that has a limit of its own (V11), else -1. */
  transfersOnly: Float64Array
  /** Litres of one brew; infinity where every batch is one brew. */
  brewLitres: number
  /** First fill day of the horizon, or the horizon's length where there is none (V5). */
  firstFillDay: number
  /** Vessels by kind. */
  fermenters: number[]
  brights: number[]
  /** The fermenters by how little they must hold, of like ones the largest first: the order in which a brew looks for one. */
  brewOrder: readonly number[]
  fillers: number[]
  /** Fill days in order. */
  fillDays: number[]
}

export interface VesselModel {
  id: string
  site: number
  bright: boolean
  capacity: number
  minFill: number
  turnaround: number
  availableFrom: number
  outOfService: { from: number; to: number }[]
}

export interface BeerModel {
  id: string
  /** By site: days from the brew day to the ready day (T1); the same for every brew day, since stages are wall-clock hours. */
  readyAfter: number[]
  maxTankDays: number
  brightDays: number
  maxBrightDays: number
  maxOpenDays: number
  loss: number
  setupWeight: number
  /** Wash group (L4), counted from 0; beers without one share one. */
  washGroup: number
  /** By vessel: may the beer be brewed into it? */
  allowed: Uint8Array
  packs: number[]
}

export interface PackModel {
  id: string
  beer: number
  type: number
  /** 0 = cask, 1 = keg. */
  kind: 0 | 1
  bright: boolean
  conditioning: number
  warm: boolean
  settle: number
  shelf: number
  primingWindow: number
  /** Units that the container counts, and units that it takes from the batch (L2). */
  nominal: number
  draw: number
}

export interface FillerModel {
  id: string
  site: number
  /** Minute units of each day; none on a day without filling. */
  minutes: Float64Array
  setupMinutes: number[]
  /** Units of work for each wash group of a day after the first (L4). */
  washMinutes: number
  setupLoss: number
  /** By container type; infinity where the filler cannot fill it. */
  each: number[]
}

export interface RouteModel {
  id: string
  site: number
  runs: Uint8Array
  transit: number
  capacity: number
  /** By day: units of a day that has a limit of its own (D1), else -1. */
  capacityOnly: Float64Array
  /** Until when an order is in time for a dispatch day (B6); undefined where there is no cut-off. */
  cutOff: CutOff | undefined
  /** Zone of its site, by whose clock the cut-off goes. */
  timeZone: string
}

export interface AccountModel {
  id: string
  routes: number[]
  receives: Uint8Array
  settle: number
  minDaysOnSale: number
  maxEarlyDays: number
  returnDays: number
}

export interface LotModel {
  id: string
  site: number
  pack: number
  quantity: number
  readyOn: number
  bestBefore: number
  /** First day on which it no longer stands if no line takes it (S2), or the horizon's length. */
  leaves: number
  /** It stands, and no line may take from it (V8). */
  quarantined: boolean
}

/**
 * Dispatch options of a line, three numbers each: route, dispatch day, earliest serve day; least late first. Days of a plan and routes are
 * below 65,536 (problem.ts); every line has its own, which are most of the memory of a large problem.
 */
export type Options = Uint16Array

export interface LineModel {
  index: number
  id: string
  account: number
  pack: number
  beer: number
  quantity: number
  serveOn: number
  /** First day on which it may be served, though it is wanted sooner: see `servedNotBefore`; 0 where none is. */
  notBefore: number
  latestServeOn: number
  /** Last day that is not late. */
  dueOn: number
  promised: boolean
  splittable: boolean
  /** The instant at which it was placed (B6); undefined: long ago. */
  placedAt: string | undefined
  settle: number
  priority: number
  /** Priority weight of unpromised lines (section 8); 1 for promised ones. */
  weight: number
  /** Cost of one unit not served, and of one unit one day late. */
  unservedRate: number
  lateRate: number
  options: Options
}

export interface FleetModel {
  /** Clean containers at the end of each day if the plan fills, delivers and empties nothing (C1). */
  clean: Float64Array
  washDays: number
}

export interface Model {
  problem: Problem
  horizon: number
  today: number
  /** No brew, transfer or run may be added before this day (F1). */
  frozenUntil: number
  rates: Float64Array
  sites: SiteModel[]
  vessels: VesselModel[]
  beers: BeerModel[]
  packs: PackModel[]
  types: { id: string }[]
  fillers: FillerModel[]
  /** By site × container type; undefined where there is no limit. */
  fleets: (FleetModel | undefined)[]
  /** By site × 2 + climate (0 cold, 1 warm): capacity in units, infinity where there is no limit. */
  stores: Float64Array
  routes: RouteModel[]
  accounts: AccountModel[]
  lots: LotModel[]
  lotsByPack: number[][]
  lines: LineModel[]
  indexOf: {
    site: Map<string, number>
    vessel: Map<string, number>
    beer: Map<string, number>
    pack: Map<string, number>
    filler: Map<string, number>
    route: Map<string, number>
    account: Map<string, number>
    lot: Map<string, number>
    line: Map<string, number>
  }
}

/** A limit on a day: the one of every day, unless the day has one of its own. */
export function limitOn(everyDay: number, only: Float64Array, day: number): number {
  const own = only[day] ?? -1
  return own < 0 ? everyDay : own
}

/** Limits of single days where no day has one of its own. */
export function noneOfTheirOwn(only: Float64Array): Float64Array {
  return only.map(() => -1)
}

/** Whether a site brews on any day at all (V1). */
export function brewsAtAll({ brewsPerDay, brewsOnly }: SiteModel): boolean {
  return brewsPerDay >= 1 || brewsOnly.some((most) => most >= 1)
}

/** Whether a site limits its transfers on any day (V11). */
export function limitsTransfers({ transfersPerDay, transfersOnly }: SiteModel): boolean {
  return Number.isFinite(transfersPerDay) || transfersOnly.some((most) => most >= 0)
}

/** Index of a fleet or of a pair of stores. */
export function fleetIndex(model: Model, site: number, type: number): number {
  return site * model.types.length + type
}
