// The state before anything is planned: beer that stands today, and what the baseline would have kept (churn).
import { dayNumber, minuteOfDay, wallClock } from '../calendar/days.ts'
import type { Plan, Problem } from '../documents/problem.ts'
import type { BaselineKeys } from '../model/baseline-keys.ts'
import type { Batch } from '../model/batch.ts'
import { element } from '../model/element.ts'
import { makeBatch } from '../model/make-batch.ts'
import type { Model } from '../model/model.ts'
import { refresh } from '../model/refresh.ts'
import { State } from '../model/state.ts'
import { units } from '../model/units.ts'
import { CONSTRAINTS } from '../rules/constraints.ts'

/** A state with the beer that stands today and nothing planned. */
export function openState(model: Model): State {
  const state = new State(model, baselineKeys(model, model.problem.baseline), CONSTRAINTS)
  for (const index of model.problem.batches.keys()) stand(state, standingBatch(state, index), index)
  return state
}

/** Beer comes into the state as the problem's batch with this index; with -1 it leaves, and nothing may draw from it any more. */
export function stand(state: State, batch: Batch, index: number): void {
  batch.standing = index
  refresh(state, batch)
}

/** The beer of the problem's batch with this index, as a batch that is not in the state yet. */
export function standingBatch(state: State, index: number): Batch {
  const { model } = state
  const each = element(model.problem.batches, index)
  const vessel = model.indexOf.vessel.get(each.vesselId)!
  const beer = model.indexOf.beer.get(each.beerId)!
  const { site } = model.vessels[vessel]
  const siteModel = model.sites[site]
  const ready = readyDay(model.problem, site, each.readyAt) - model.today
  const { bright } = model.vessels[vessel]
  const transferOn = each.transferredOn === undefined ? -1 : dayNumber(each.transferredOn) - model.today
  const beerModel = model.beers[beer]
  const stands = bright ? transferOn + beerModel.brightDays + beerModel.maxBrightDays : ready + beerModel.maxTankDays
  const quarantined = each.quarantined
  return makeBatch(state, {
    beer,
    site,
    fermenter: bright ? -1 : vessel,
    brewOn: -1,
    ready,
    given: units(each.litres),
    // V5: beer that stands today has until the site's first fill day at least.
    fermenterDeadline: quarantined ? Number.POSITIVE_INFINITY : Math.max(stands, siteModel.firstFillDay),
    primable: each.primable,
    quarantined,
    openedOn: each.openedOn === undefined ? Number.POSITIVE_INFINITY : dayNumber(each.openedOn) - model.today,
    transferOn,
    bright: bright ? vessel : -1,
  })
}

/** First day number whose filling starts no earlier than the beer is ready (T1). */
function readyDay(problem: Problem, site: number, readyAt: string): number {
  const { day, minute } = wallClock(readyAt, problem.sites[site].timeZone)
  return minute <= minuteOfDay(problem.sites[site].fillStarts) ? day : day + 1
}

/** Baseline decisions that count for churn: from today on, and not yet a batch (F1). */
export function baselineKeys(model: Model, baseline: Plan | undefined): BaselineKeys {
  const keys: BaselineKeys = { brews: new Map(), brewIds: [], brewBeers: [], runs: new Map(), transfers: new Map() }
  if (!baseline) return keys
  const { indexOf } = model
  for (const brew of currentBrews(model, baseline)) {
    const beer = indexOf.beer.get(brew.beerId) ?? -1
    keys.brews.set(
      `${beer}:${indexOf.vessel.get(brew.vesselId)}:${dayNumber(brew.brewOn) - model.today}`,
      keys.brewIds.length,
    )
    keys.brewIds.push(brew.id)
    keys.brewBeers.push(beer)
  }
  for (const each of baseline.transfers) {
    const on = dayNumber(each.on) - model.today
    if (on >= 0) keys.transfers.set(`${each.batchId}|${indexOf.vessel.get(each.toVesselId)}|${on}`, each.id)
  }
  for (const each of baseline.fillRuns) {
    const on = dayNumber(each.on) - model.today
    if (on >= 0)
      keys.runs.set(
        `${each.batchId}|${indexOf.filler.get(each.fillerId)}|${indexOf.pack.get(each.packId)}|${on}`,
        each.id,
      )
  }
  return keys
}

/** Brews of a plan from today on that are no batch yet (F1). */
export function currentBrews(model: Model, plan: Plan): Plan['brews'] {
  const standing = new Set(model.problem.batches.map((batch) => batch.id))
  return plan.brews.filter((brew) => dayNumber(brew.brewOn) >= model.today && !standing.has(brew.id))
}
