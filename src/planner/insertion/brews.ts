// New brews: batches that do not exist yet, for beer that must be ready by a day. A brew is planned as late as its fill
// allows, into the first vessel of an order in which it fits.
import type { Batch, Transfer } from '../model/batch.ts'
import { TERM } from '../model/model.ts'
import { below, type Random } from '../model/random.ts'
import { size } from '../model/sizing.ts'
import type { State } from '../model/state.ts'
import { SLACK } from '../model/units.ts'
import { fits } from '../model/vessels.ts'
import { latestBrewDay, latestTransferDay, mayBrew } from './days.ts'
import { displacedCost, mayStand } from './draws.ts'

/** Cost of a brew that gives `units` and leaves the rest; infinity where vessel, brewhouse or bright vessel refuse. */
export function newBrewCost(state: State, batch: Batch, units: number, transfer: Transfer | undefined): number {
  const { model } = state
  const { economics } = state.scratch
  size(economics, model, batch, transfer ? 0 : units, transfer ? units : 0, transfer ? transfer.bright : -1)
  if (!economics.feasible) return Number.POSITIVE_INFINITY
  const { brews, left, leftAtTransfer } = economics
  const { rates } = model
  if (!mayBrew(state, batch.site, batch.brewOn, brews)) return Number.POSITIVE_INFINITY
  const vessel = transfer ? transfer.bright : batch.fermenter
  const keep = left > SLACK && mayStand(model, batch, transfer ? transfer.on : -1, vessel, state.stays[vessel])
  let cost =
    brews * rates[TERM.brew] + leftAtTransfer * rates[TERM.dumped] + left * rates[keep ? TERM.unsold : TERM.dumped]
  cost += displacedCost(state, state.stays[batch.fermenter], batch.brewOn)
  if (transfer) cost += displacedCost(state, state.stays[transfer.bright], transfer.on)
  return cost
}

/** Where and when to brew so that the beer can be filled on a day. */
export interface BrewSlot {
  vessel: number
  brewOn: number
  transfer: Transfer | undefined
}

/** Day by which a brew must have fermented to be filled on `day`: that day, or its transfer's; −1 where there is none. */
export function fermentBy(state: State, beerIndex: number, site: number, day: number, bright: boolean): number {
  if (!bright) return day
  const { model } = state
  const { brightDays, maxBrightDays } = model.beers[beerIndex]
  if (brightDays + maxBrightDays < 1) return -1
  const first = Math.max(model.frozenUntil, day - brightDays - maxBrightDays)
  return latestTransferDay(state, site, day - brightDays, first)
}

/**
 * A slot for a fill on `day` (V1–V5), by the latest possible brew day in the first vessel of `order` that is free, or
 * undefined. `random` now and then brews earlier than it must.
 */
export function brewSlot(
  state: State,
  beerIndex: number,
  site: number,
  day: number,
  bright: boolean,
  order: readonly number[],
  random: Random | undefined,
): BrewSlot | undefined {
  const { model } = state
  const beer = model.beers[beerIndex]
  const fermentedBy = fermentBy(state, beerIndex, site, day, bright)
  if (fermentedBy < 0) return undefined
  let transfer: Transfer | undefined
  if (bright) {
    const vessel = model.sites[site].brights.find((each) =>
      fits(model, state.stays[each], each, fermentedBy, Math.max(day, fermentedBy + 1)),
    )
    if (vessel === undefined) return undefined
    transfer = { on: fermentedBy, bright: vessel }
  }
  const ready = fermentedBy - beer.readyAfter[site]
  const earliest = Math.max(model.frozenUntil, ready - beer.maxTankDays, 0)
  let from = ready
  if (random && ready > earliest && random() < 0.15) from = ready - below(random, Math.min(8, ready - earliest + 1))
  const brewOn = latestBrewDay(state, site, from, earliest)
  if (brewOn < 0) return undefined
  for (const vessel of order)
    if (beer.allowed[vessel] && fits(model, state.stays[vessel], vessel, brewOn, fermentedBy))
      return { vessel, brewOn, transfer }
  return undefined
}
