// Batches that do not exist yet: a brew is a batch object that enters the plan with its first placement.
import { type Batch, type BatchFields, emptyBatch } from './batch.ts'
import type { State } from './state.ts'

/** A batch object; it enters the plan with its first placement. */
export function makeBatch(state: State, fields: BatchFields): Batch {
  return emptyBatch(state.serial++, fields)
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

/** As `makeBrew`, but not for the plan: the scratch batch, filled in anew by the next call. */
export function scratchBatch(state: State, beer: number, vessel: number, brewOn: number): Batch {
  const { model } = state
  const { batch } = state.scratch
  batch.beer = beer
  batch.site = model.vessels[vessel].site
  batch.fermenter = vessel
  batch.brewOn = brewOn
  batch.ready = brewOn + model.beers[beer].readyAfter[batch.site]
  batch.fermenterDeadline = batch.ready + model.beers[beer].maxTankDays
  batch.baseline = baselineOf(state, beer, vessel, brewOn)
  return batch
}

/** The baseline brew that is planned exactly so, else one of the beer that no batch continues yet; −1 for none. */
function baselineOf(state: State, beer: number, vessel: number, brewOn: number): number {
  const { baseline, claimed } = state
  if (baseline.brewIds.length === 0) return -1
  const exact = baseline.brews.get(`${beer}:${vessel}:${brewOn}`)
  if (exact !== undefined && !claimed.has(exact)) return exact
  return baseline.brewBeers.findIndex((each, index) => each === beer && !claimed.has(index))
}
