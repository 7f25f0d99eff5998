// Batches that do not exist yet: a brew is a batch object that enters the plan with its first placement.
import type { Batch } from './batch.ts'
import type { State } from './state.ts'

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

/** The scratch batch: `scratchBatch` fills it in. */
const scratch: { -readonly [Key in keyof Batch]: Batch[Key] } = emptyBatch(-1, {
  beer: 0,
  site: 0,
  fermenter: 0,
  brewOn: 0,
  ready: 0,
  fermenterDeadline: 0,
})

/** As `makeBrew`, but not for the plan: one object, used again by the next call. */
export function scratchBatch(state: State, beer: number, vessel: number, brewOn: number): Batch {
  const { model } = state
  scratch.beer = beer
  scratch.site = model.vessels[vessel].site
  scratch.fermenter = vessel
  scratch.brewOn = brewOn
  scratch.ready = brewOn + model.beers[beer].readyAfter[scratch.site]
  scratch.fermenterDeadline = scratch.ready + model.beers[beer].maxTankDays
  scratch.baseline = baselineOf(state, beer, vessel, brewOn)
  return scratch
}

/** The baseline brew that is planned exactly so, else one of the beer that no batch continues yet; −1 for none. */
function baselineOf(state: State, beer: number, vessel: number, brewOn: number): number {
  const { baseline, claimed } = state
  if (baseline.brewIds.length === 0) return -1
  const exact = baseline.brews.get(`${beer}:${vessel}:${brewOn}`)
  if (exact !== undefined && !claimed.has(exact)) return exact
  return baseline.brewBeers.findIndex((each, index) => each === beer && !claimed.has(index))
}
