// A batch in the search, standing or to be brewed; what is drawn from it, and the lines that take it: the runs, set-ups, stays, deliveries
// and placements that make up a plan.
import type { LineModel, Model } from './model.ts'

/** A move of a batch to a bright vessel. */
export interface Transfer {
  on: number
  bright: number
}

/** One fill run (L3): so many containers of a pack, on a day, by a filler. `alloc` is delivered, `surplus` is stock. */
export interface Run {
  filler: number
  day: number
  pack: number
  alloc: number
  surplus: number
  /** A run that may not change (F1): deliveries take from its surplus only. */
  fixed: boolean
}

/** One set-up (L1): a batch and container kind on a filler and day, with how many runs of each stage share it. */
export interface Setup {
  filler: number
  day: number
  kind: 0 | 1
  fromFermenter: number
  fromBright: number
}

/** The time that a batch spends in one vessel. `start` is negative for beer that stands today. */
export interface Occupant {
  batch: Batch
  stage: 0 | 1
  vessel: number
  start: number
  /** Last occupied day, or the horizon's last day where beer is left standing. */
  end: number
}

export interface Batch {
  readonly serial: number
  readonly beer: number
  readonly site: number
  /** Stands today: its index in the problem's list; −1 for a brew. */
  standing: number
  /** Baseline brew whose id this brew carries (F1, churn); −1 for a new one. */
  baseline: number
  readonly fermenter: number
  readonly brewOn: number
  /** Ready day (T1); only an explanation changes it, and puts it back. */
  ready: number
  /** Drawable units of a batch that stands; of a fixed brew the brewed units; else −1. */
  readonly given: number
  /** Last day in the fermenter (V5), and last fill day of primed packs by their window (V7) is derived from `ready`. */
  fermenterDeadline: number
  primable: boolean
  quarantined: boolean
  /** A brew that stays, drawn or not (F1). */
  fixed: boolean
  /** First draw before today from the vessel it stands in (V10); infinity where there was none. */
  readonly openedOn: number
  // --- decisions
  transferOn: number
  bright: number
  /** The transfer may not change; its units are −1 where they follow from the draws. */
  transferFixed: boolean
  transferGiven: number
  /** Placements that hold a transfer without drawing from it. */
  transferHolds: number
  runs: Run[]
  setups: Setup[]
  /** The same by `runKey` and `setupKey`. */
  runAt: Map<number, Run>
  setupAt: Map<number, Setup>
  /** Placements that take from this batch. */
  users: Set<Placement>
  // --- derived by refresh
  active: boolean
  fermenterStay: Occupant | undefined
  brightStay: Occupant | undefined
  fromFermenter: number
  fromBright: number
  firstFermenterDraw: number
  lastFermenterDraw: number
  firstBrightDraw: number
  lastBrightDraw: number
  /** Drawable units: of a brew after the loss. */
  drawable: number
  brewed: number
  brews: number
  /** Units left after every draw, those of them that a transfer could not take, and whether the rest stays to the end. */
  left: number
  leftAtTransfer: number
  kept: boolean
  /** Contributions to the ledger. */
  dumpedUnits: number
  unsoldUnits: number
}

/** What every batch object is made with; the rest has a value that means nothing. */
export type BatchFields = Pick<Batch, 'beer' | 'site' | 'fermenter' | 'brewOn' | 'ready' | 'fermenterDeadline'> &
  Partial<Batch>

/** A batch object with nothing drawn from it. Every field is named first, so that all batches share one shape. */
export function emptyBatch(serial: number, fields: BatchFields): Batch {
  const { beer, site, fermenter, brewOn, ready, fermenterDeadline } = fields
  const batch: Batch = {
    serial,
    beer,
    site,
    fermenter,
    brewOn,
    ready,
    fermenterDeadline,
    standing: -1,
    baseline: -1,
    given: -1,
    primable: true,
    quarantined: false,
    fixed: false,
    openedOn: Number.POSITIVE_INFINITY,
    transferOn: -1,
    bright: -1,
    transferFixed: false,
    transferGiven: -1,
    transferHolds: 0,
    runs: [],
    setups: [],
    runAt: new Map(),
    setupAt: new Map(),
    users: new Set(),
    active: false,
    fermenterStay: undefined,
    brightStay: undefined,
    fromFermenter: 0,
    fromBright: 0,
    firstFermenterDraw: Number.POSITIVE_INFINITY,
    lastFermenterDraw: -1,
    firstBrightDraw: Number.POSITIVE_INFINITY,
    lastBrightDraw: -1,
    drawable: 0,
    brewed: 0,
    brews: 0,
    left: 0,
    leftAtTransfer: 0,
    kept: false,
    dumpedUnits: 0,
    unsoldUnits: 0,
  }
  return Object.assign(batch, fields)
}

/**
 * Order of batches that does not depend on how a state came about: brews by day and vessel, then those that stand. Among
 * equals the planner takes the first, so where the order differs, so may what it finds.
 */
export function byBirth(a: Batch, b: Batch): number {
  return a.standing - b.standing || a.brewOn - b.brewOn || a.fermenter - b.fermenter
}

/** Names a run of a batch: a filler, a day and a pack. */
export function runKey(model: Model, filler: number, day: number, pack: number): number {
  return (filler * model.horizon + day) * model.packs.length + pack
}

/** Names a set-up of a batch: a filler, a day and a kind of container. */
export function setupKey(model: Model, filler: number, day: number, kind: 0 | 1): number {
  return (filler * model.horizon + day) * 2 + kind
}

/** Containers taken from a fill run; `fromSurplus` of them are filled already, the others are filled for it. */
export interface RunTake {
  batch: Batch
  filler: number
  day: number
  pack: number
  quantity: number
  fromSurplus: number
  /** For packs drawn from a bright vessel: the transfer that it needs; −1 otherwise. */
  transferOn: number
  bright: number
}

export interface LotTake {
  lot: number
  quantity: number
}

export interface Delivery {
  route: number
  dispatch: number
  serve: number
  runs: RunTake[]
  lots: LotTake[]
}

/** How one line is served; immutable, so that applying it again restores exactly what it was. */
export interface Placement {
  line: LineModel
  deliveries: Delivery[]
  delivered: number
}

/** Day of a placement's last serving; -1 where it serves nothing. */
export function lastServe(placement: Placement | undefined): number {
  return Math.max(-1, ...(placement?.deliveries ?? []).map((each) => each.serve))
}

/** Containers filled to stock; or, with a quantity of 0, beer transferred only to keep it. */
export interface Surplus {
  batch: Batch
  filler: number
  day: number
  pack: number
  quantity: number
  transferOn: number
  bright: number
}

/** First day on which an undelivered container no longer stands (S2), or the horizon's length. */
export function surplusLeaves(model: Model, bestBefore: number): number {
  return bestBefore >= model.horizon - 1 ? model.horizon : Math.max(0, bestBefore + 1)
}
