// A batch in the search, standing or to be brewed, and what follows from its draws alone: how much must be brewed for
// it, what is left over, and until when it may stand. Brew size is no decision of its own: whatever exceeds the draws
// only costs, so a brew is the smallest that serves them (V2).
import type { Model } from './model.ts'
import type { Placement } from './state.ts'
import { SLACK } from './units.ts'

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
  readonly standing: number
  /** Baseline brew whose id this brew carries (F1, churn); −1 for a new one. */
  baseline: number
  readonly fermenter: number
  readonly brewOn: number
  /** Ready day (T1); only an explanation changes it, and puts it back. */
  ready: number
  /** Drawable units of a batch that stands; of a fixed brew the brewed units; else −1. */
  readonly given: number
  /** Last day in the fermenter (V5), and last fill day of primed packs by their window (V7) is derived from `ready`. */
  readonly fermenterDeadline: number
  primable: boolean
  quarantined: boolean
  /** A brew that stays, drawn or not (F1). */
  readonly fixed: boolean
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

/** What a batch needs and leaves with given draws. Reused between calls: read it before the next one. */
export const economics = { feasible: false, drawable: 0, brewed: 0, brews: 0, left: 0, leftAtTransfer: 0 }

/**
 * Sizes a batch for draws of so many units from the fermenter and from the bright vessel (V2, V6), into `economics`.
 * Not feasible: more than the vessel or the standing beer holds, or a transfer below or above what the bright vessel takes.
 */
export function size(model: Model, batch: Batch, fromFermenter: number, fromBright: number, bright: number): void {
  const transferred = bright >= 0 && batch.fermenter >= 0
  const brightMin = transferred ? model.vessels[bright].minFill : 0
  const brightMax = transferred ? model.vessels[bright].capacity : Number.POSITIVE_INFINITY
  const need = fromFermenter + (transferred ? Math.max(fromBright, brightMin, batch.transferGiven) : fromBright)
  if (batch.standing >= 0) {
    economics.brewed = 0
    economics.brews = 0
    economics.drawable = batch.given
    economics.feasible = need <= batch.given + SLACK
  } else {
    const vessel = model.vessels[batch.fermenter]
    const keep = 1 - model.beers[batch.beer].loss
    const brewed = batch.fixed ? batch.given : Math.max(vessel.minFill, Math.ceil(need / keep), 1)
    economics.brewed = brewed
    economics.brews = Math.max(1, Math.ceil(brewed / model.sites[batch.site].brewUnits))
    economics.drawable = Math.floor(brewed * keep + 1e-3)
    economics.feasible = brewed <= vessel.capacity + SLACK && need <= economics.drawable + SLACK
  }
  const most = batch.transferGiven >= 0 ? batch.transferGiven : brightMax
  if (transferred) {
    const arriving = economics.drawable - fromFermenter
    economics.leftAtTransfer = Math.max(0, arriving - most)
    economics.left = Math.max(0, Math.min(arriving, most) - fromBright)
    if (fromBright > most + SLACK) economics.feasible = false
  } else {
    economics.leftAtTransfer = 0
    economics.left = Math.max(0, economics.drawable - fromFermenter - fromBright)
  }
}

/** Last day on which a batch may stand where its last draw is (V5); may lie past the horizon. */
export function deadline(model: Model, batch: Batch, transferOn: number): number {
  if (batch.quarantined) return Number.POSITIVE_INFINITY
  if (batch.fermenter < 0) return batch.fermenterDeadline
  if (transferOn < 0) return batch.fermenterDeadline
  const beer = model.beers[batch.beer]
  return transferOn + beer.brightDays + beer.maxBrightDays
}

/** First day after which a stay can end: its last draw or transfer; today for beer that nobody draws. */
export function earliestEnd(stay: Occupant): number {
  const { batch } = stay
  // T4: dumping comes before the transfer of the same day, so what a bright vessel is left with goes a day later.
  if (stay.stage === 1) return Math.max(batch.lastBrightDraw, batch.fermenter >= 0 ? stay.start + 1 : 0)
  if (batch.transferOn >= 0) return batch.transferOn
  return Math.max(batch.lastFermenterDraw, stay.start, 0)
}
