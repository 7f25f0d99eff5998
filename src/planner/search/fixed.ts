// Decisions that may not change (F1): frozen days and fixed decisions of the baseline, laid down before anything else.
import { dayNumber } from '../days.ts'
import { runKey } from './batch.ts'
import { makeBatch } from './brews.ts'
import { PlanReader, standable } from './plan-reader.ts'
import { refresh } from './refresh.ts'
import { currentBrews } from './standing.ts'
import type { State } from './state.ts'
import { SLACK, units } from './units.ts'
import { fits } from './vessels.ts'

/** A baseline decision that could not stay as it is (F1). */
export interface Moved {
  kind: 'BREW' | 'TRANSFER' | 'FILL_RUN'
  id: string
  rule: string
}

/** Lays down the baseline's frozen and fixed decisions (F1); answers those that could not stay. */
export function holdFixed(state: State): Moved[] {
  const { model } = state
  const { baseline } = model.problem
  const moved: Moved[] = []
  if (!baseline) return moved
  const stays = (on: string, fixed: boolean | undefined) => {
    const day = dayNumber(on) - model.today
    return day >= 0 && (fixed === true || day < model.frozenUntil)
  }
  const reader = new PlanReader(state, baseline)
  for (const brew of currentBrews(model, baseline)) {
    if (!stays(brew.brewOn, brew.fixed)) continue
    const batch = reader.batches.get(brew.id)
    // Its beer or its vessel is there no more.
    if (!batch) moved.push({ kind: 'BREW', id: brew.id, rule: 'V3' })
    if (!batch || batch.standing >= 0) continue
    const { beer, site, fermenter, brewOn, ready, fermenterDeadline, baseline: continued } = batch
    const held = makeBatch(state, {
      ...{ beer, site, fermenter, brewOn, ready, fermenterDeadline, baseline: continued },
      fixed: true,
      given: units(brew.litres),
    })
    const vessel = model.vessels[held.fermenter]
    const fitsVessel = held.given >= vessel.minFill - SLACK && held.given <= vessel.capacity + SLACK
    const brews = Math.ceil(held.given / model.sites[held.site].brewUnits)
    const room = state.brewsUsed[held.site][Math.max(0, held.brewOn)] + brews <= model.sites[held.site].brewsPerDay
    if (fitsVessel && room && reader.brewable(held)) {
      reader.batches.set(brew.id, held)
      refresh(state, held)
    } else moved.push({ kind: 'BREW', id: brew.id, rule: fitsVessel ? (room ? 'V3' : 'V1') : 'V2' })
  }
  for (const run of baseline.fillRuns) {
    if (!stays(run.on, run.fixed)) continue
    const take = reader.take(run, run.quantity)
    const quantity = take ? Math.min(take.quantity, standable(state, take)) : 0
    if (!take || quantity < run.quantity) moved.push({ kind: 'FILL_RUN', id: run.id, rule: 'F1' })
    if (!take || quantity <= 0) continue
    state.applySurplus({ ...take, quantity }, 1)
    const held = take.batch.runAt.get(runKey(model, take.filler, take.day, take.pack))
    if (held) held.fixed = true
  }
  for (const each of baseline.transfers) {
    if (!stays(each.on, each.fixed)) continue
    const batch = reader.batches.get(each.batchId)
    const transfer = reader.transfers.get(each.batchId)
    const bound = batch && transfer && batch.transferOn === transfer.on && batch.bright === transfer.bright
    const given = units(each.litres)
    const enough = batch && (batch.standing < 0 || batch.given - batch.fromFermenter >= given - SLACK)
    if (
      batch &&
      transfer &&
      enough &&
      batch.fermenter >= 0 &&
      (bound ||
        (reader.transferable(batch, transfer) &&
          fits(model, state.stays[transfer.bright], transfer.bright, transfer.on, transfer.on + 1)))
    ) {
      batch.transferOn = transfer.on
      batch.bright = transfer.bright
      batch.transferFixed = true
      batch.transferGiven = given
      // A brew that is moved by a fixed transfer stays, drawn or not.
      batch.transferHolds++
      refresh(state, batch)
    } else moved.push({ kind: 'TRANSFER', id: each.id, rule: 'V6' })
  }
  return moved
}
