// New brews: batches that do not exist yet, for beer that must be ready by a day. A brew is laid as late as its fill
// allows, into the first vessel of an order in which it fits.
import type { Batch } from './batch.ts'
import { economics, size } from './batch.ts'
import { displacedCost, mayStand, type Transfer } from './draws.ts'
import { type Model, TERM } from './model.ts'
import { below, type Random } from './random.ts'
import type { State } from './state.ts'
import { SLACK } from './units.ts'
import { fits } from './vessels.ts'

type BatchFields = Pick<Batch, 'beer' | 'site' | 'fermenter' | 'brewOn' | 'ready' | 'fermenterDeadline'> &
  Partial<Batch>

/** A batch object; it enters the plan with its first placement. */
export function makeBatch(state: State, fields: BatchFields): Batch {
  return emptyBatch(state.serial++, fields)
}

function emptyBatch(serial: number, fields: BatchFields): Batch {
  return {
    serial,
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
    ...fields,
  }
}

/** A brew of a beer into a vessel on a day; carries on a baseline brew's id where one is free. */
export function makeBrew(state: State, beer: number, vessel: number, brewOn: number): Batch {
  const { model } = state
  const { site } = model.vessels[vessel]
  const ready = brewOn + model.beers[beer].readyAfter[site]
  return makeBatch(state, {
    beer,
    site,
    fermenter: vessel,
    brewOn,
    ready,
    fermenterDeadline: ready + model.beers[beer].maxTankDays,
    baseline: baselineOf(state, beer, vessel, brewOn),
  })
}

/** A brew that is only thought of: `hypothetical` fills it in. */
const thought: { -readonly [Key in keyof Batch]: Batch[Key] } = emptyBatch(-1, {
  beer: 0,
  site: 0,
  fermenter: 0,
  brewOn: 0,
  ready: 0,
  fermenterDeadline: 0,
})

/** As `makeBrew`, but not for the plan: one object, used again by the next call. */
export function hypothetical(state: State, beer: number, vessel: number, brewOn: number): Batch {
  const { model } = state
  thought.beer = beer
  thought.site = model.vessels[vessel].site
  thought.fermenter = vessel
  thought.brewOn = brewOn
  thought.ready = brewOn + model.beers[beer].readyAfter[thought.site]
  thought.fermenterDeadline = thought.ready + model.beers[beer].maxTankDays
  thought.baseline = baselineOf(state, beer, vessel, brewOn)
  return thought
}

/** The baseline brew that is laid exactly so, else one of the beer that nobody carries on yet; −1 for none. */
function baselineOf(state: State, beer: number, vessel: number, brewOn: number): number {
  const { baseline, claimed } = state
  if (baseline.brewIds.length === 0) return -1
  const exact = baseline.brews.get(`${beer}:${vessel}:${brewOn}`)
  if (exact !== undefined && !claimed.has(exact)) return exact
  return baseline.brewBeers.findIndex((each, index) => each === beer && !claimed.has(index))
}

/** Cost of a brew that gives `units` and leaves the rest; infinity where vessel, brewhouse or bright vessel refuse. */
export function newBrewCost(state: State, batch: Batch, units: number, transfer: Transfer | undefined): number {
  const { model } = state
  size(model, batch, transfer ? 0 : units, transfer ? units : 0, transfer ? transfer.bright : -1)
  if (!economics.feasible) return Number.POSITIVE_INFINITY
  const { brews, left, leftAtTransfer } = economics
  const { rates } = model
  if (state.brewsUsed[batch.site][batch.brewOn] + brews > model.sites[batch.site].brewsPerDay)
    return Number.POSITIVE_INFINITY
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
export function fermentBy(model: Model, beerIndex: number, site: number, day: number, bright: boolean): number {
  if (!bright) return day
  const { brightDays, maxBrightDays } = model.beers[beerIndex]
  if (brightDays + maxBrightDays < 1) return -1
  const first = Math.max(model.frozenUntil, day - brightDays - maxBrightDays)
  return latest(model.sites[site].fillBy, day - brightDays, first)
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
  order: number[],
  random: Random | undefined,
): BrewSlot | undefined {
  const { model } = state
  const beer = model.beers[beerIndex]
  const siteModel = model.sites[site]
  const fermentedBy = fermentBy(model, beerIndex, site, day, bright)
  if (fermentedBy < 0) return undefined
  let transfer: Transfer | undefined
  if (bright) {
    const vessel = siteModel.brights.find((each) =>
      fits(model, state.stays[each], each, fermentedBy, Math.max(day, fermentedBy + 1)),
    )
    if (vessel === undefined) return undefined
    transfer = { on: fermentedBy, bright: vessel }
  }
  const ready = fermentedBy - beer.readyAfter[site]
  const earliest = Math.max(model.frozenUntil, ready - beer.maxTankDays, 0)
  let from = ready
  if (random && ready > earliest && random() < 0.15) from = ready - below(random, Math.min(8, ready - earliest + 1))
  if (latest(siteModel.brewBy, from, earliest) < 0) return undefined
  for (const vessel of order) {
    if (!beer.allowed[vessel]) continue
    for (
      let brewOn = latest(siteModel.brewBy, from, earliest);
      brewOn >= 0;
      brewOn = latest(siteModel.brewBy, brewOn - 1, earliest)
    ) {
      if (state.brewsUsed[site][brewOn] >= siteModel.brewsPerDay) continue
      if (fits(model, state.stays[vessel], vessel, brewOn, fermentedBy)) return { vessel, brewOn, transfer }
      break
    }
  }
  return undefined
}

/** Latest brew or fill day from `day` down to `floor`, by a table of them; -1 where there is none. */
export function latest(by: Int32Array, day: number, floor: number): number {
  if (day < 0) return -1
  const found = by[Math.min(day, by.length - 1)]
  return found >= floor ? found : -1
}
