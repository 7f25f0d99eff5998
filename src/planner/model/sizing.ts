// What follows from the draws of a batch alone: how much must be brewed for it, what is left over, and until when it may
// stand. Brew size is no decision of its own: whatever exceeds the draws only costs, so a brew is the smallest that serves
// them (V2).
import { brewsOf } from '../documents/brews.ts'
import type { Batch, Occupant } from './batch.ts'
import type { Model } from './model.ts'
import type { Economics } from './scratch.ts'
import { LITRE, SLACK } from './units.ts'

/**
 * Sizes a batch for draws of so many units from the fermenter and from the bright vessel (V2, V6), into `economics`.
 * Not feasible: more than the vessel or the standing beer holds, or a transfer below or above what the bright vessel takes.
 */
export function size(
  economics: Economics,
  model: Model,
  batch: Batch,
  fromFermenter: number,
  fromBright: number,
  bright: number,
): void {
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
    economics.brews = brewsOf(brewed / LITRE, model.sites[batch.site].brewLitres)
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

/** First day after which a stay can end: its last draw or transfer; today for beer that is not drawn. */
export function earliestEnd(stay: Occupant): number {
  const { batch } = stay
  // T4: dumping comes before the transfer of the same day, so what a bright vessel is left with goes a day later.
  if (stay.stage === 1) return Math.max(batch.lastBrightDraw, batch.fermenter >= 0 ? stay.start + 1 : 0)
  if (batch.transferOn >= 0) return batch.transferOn
  return Math.max(batch.lastFermenterDraw, stay.start, 0)
}
