// New brews as sources of a line: for which fill days one could be added, in which vessel, and what it would cost.

import { scratchBatch } from '../model/make-batch.ts'
import { brewsAtAll, type LineModel, TERM } from '../model/model.ts'
import { below, type Random } from '../model/random.ts'
import { earliestEnd } from '../model/sizing.ts'
import type { State } from '../model/state.ts'
import { nextOn } from '../model/work-days.ts'
import { brewSlot, fermentBy } from './brews.ts'
import { latestFillDay, mayDraw } from './days.ts'
import { addDraw } from './draw-sources.ts'
import { mostUnits } from './draws.ts'
import type { InsertionPolicy } from './policy.ts'
import type { LineSource, Window } from './source.ts'

/** New brews for fill days from the last on-time one backwards, then for later ones, a few of each. */
export function addBrews(
  state: State,
  line: LineModel,
  quantity: number,
  site: number,
  window: Window,
  policy: InsertionPolicy,
  found: LineSource[],
): void {
  const { model } = state
  const siteModel = model.sites[site]
  const beer = model.beers[line.beer]
  const { random } = policy
  const first = Math.max(window.from, model.frozenUntil + beer.readyAfter[site])
  if (!brewsAtAll(siteModel) || window.to < first) return
  const order = vesselOrder(siteModel.brewOrder, random)
  findFermented(state, line.beer, site, order)
  let tries = policy.brewTries
  if (policy.startWhenVesselFree) {
    for (const { day, vessel } of fillsWhenVesselFree(state, line, site, window, first, order)) {
      if (tries <= 0) return
      if (addBrew(state, line, quantity, site, day, [vessel], policy, found)) tries--
    }
    return
  }
  const { fillOn } = siteModel
  const onTime = Math.min(window.onTimeTo, window.to)
  for (
    let day = latestFillDay(state, site, onTime, first);
    day >= 0 && tries > 0;
    day = latestFillDay(state, site, day - 1, first)
  ) {
    if (addBrew(state, line, quantity, site, day, order, policy, found)) tries--
  }
  tries = Math.min(tries, 3)
  const late = Math.max(window.onTimeTo + 1, first)
  for (let day = nextOn(fillOn, late); day >= 0 && day <= window.to && tries > 0; day = nextOn(fillOn, day + 1)) {
    if (addBrew(state, line, quantity, site, day, order, policy, found)) tries--
  }
}

/**
 * On-time fill days from `first` on of brews that would begin as soon as their vessel is free, the latest first: such brews
 * leave no days between that no batch can use.
 */
function fillsWhenVesselFree(
  state: State,
  line: LineModel,
  site: number,
  window: Window,
  first: number,
  vessels: readonly number[],
): { day: number; vessel: number }[] {
  const { model } = state
  const { brewOn, fillOn } = model.sites[site]
  const beer = model.beers[line.beer]
  const brightDays = model.packs[line.pack].bright ? beer.brightDays : 0
  const { spans } = state.scratch
  const fills: { day: number; vessel: number }[] = []
  for (const vessel of vessels) {
    if (!beer.allowed[vessel]) continue
    const end = findFreeSpans(state, vessel)
    for (let at = 0; at < end; at += 2) {
      const brewed = nextOn(brewOn, spans[at])
      if (brewed < 0) break
      const day = nextOn(fillOn, Math.max(brewed + beer.readyAfter[site] + brightDays, window.from))
      if (day < 0 || day > window.onTimeTo) break
      if (day >= first && day - brightDays <= spans[at + 1]) fills.push({ day, vessel })
    }
  }
  return fills.sort((a, b) => b.day - a.day)
}

/** Finds, between the stays of the vessels, the days by which a brew of a beer could have fermented (V1, V3). */
function findFermented(state: State, beerIndex: number, site: number, vessels: readonly number[]): void {
  const { model } = state
  const { fermented, spans } = state.scratch
  fermented.fill(0)
  const { allowed, readyAfter: readyAfterAt } = model.beers[beerIndex]
  const readyAfter = readyAfterAt[site]
  for (const vessel of vessels) {
    if (!allowed[vessel]) continue
    const end = findFreeSpans(state, vessel)
    for (let at = 0; at < end; at += 2) {
      const to = spans[at + 1]
      for (let day = spans[at] + readyAfter; day <= to; day++) fermented[day] = 1
    }
  }
}

/**
 * Finds the days on which something new may stand between the stays of a vessel (V3), into the scratch `spans`: first and last
 * of each span in turn. Answers where they end.
 */
function findFreeSpans({ model, stays, scratch }: State, vessel: number): number {
  const { spans } = scratch
  const { turnaround, availableFrom } = model.vessels[vessel]
  let end = 0
  let from = Math.max(availableFrom, model.frozenUntil, 0)
  for (const stay of stays[vessel]) {
    const to = stay.start - turnaround - 1
    if (to >= from) {
      spans[end++] = from
      spans[end++] = to
    }
    from = Math.max(from, earliestEnd(stay) + turnaround + 1)
  }
  if (from < model.horizon) {
    spans[end++] = from
    spans[end++] = model.horizon - 1
  }
  return end
}

/** The share of a new brew that a line pays: what it takes of the vessel, or what the policy asks for if that is more. */
function shareOf(state: State, line: LineModel, quantity: number, vessel: number, policy: InsertionPolicy): number {
  if (policy.brewShare >= 1) return 1
  const { model } = state
  const capacity = model.vessels[vessel].capacity * (1 - model.beers[line.beer].loss)
  return Math.max(policy.brewShare, Math.min(1, (quantity * model.packs[line.pack].draw) / capacity))
}

/** No new brew for a line at a site costs less in the search; infinity where there is no fermenter. */
export function leastBrewCost(state: State, line: LineModel, site: number, policy: InsertionPolicy): number {
  let share = Number.POSITIVE_INFINITY
  for (const vessel of state.model.sites[site].fermenters)
    share = Math.min(share, shareOf(state, line, line.quantity, vessel, policy))
  return share * state.model.rates[TERM.brew]
}

/** A new brew for a fill on a fill day, if there is room for it; answers whether it can. */
function addBrew(
  state: State,
  line: LineModel,
  quantity: number,
  site: number,
  day: number,
  order: readonly number[],
  policy: InsertionPolicy,
  found: LineSource[],
): boolean {
  const { model } = state
  const siteModel = model.sites[site]
  const pack = model.packs[line.pack]
  const by = fermentBy(state, line.beer, site, day, pack.bright)
  if (by < 0 || !state.scratch.fermented[by]) return false
  const before = found.length
  let vessels = order
  while (vessels.length > 0) {
    const slot = brewSlot(state, line.beer, site, day, pack.bright, vessels, policy.random)
    if (!slot) break
    const batch = scratchBatch(state, line.beer, slot.vessel, slot.brewOn)
    if (!mayDraw(state, batch, line.pack, day, slot.transfer)) break
    const share = shareOf(state, line, quantity, slot.vessel, policy)
    const from = found.length
    const beer = mostUnits(state, batch, pack.bright, slot.transfer)
    for (const filler of siteModel.fillers)
      addDraw(state, line, quantity, batch, filler, day, slot.transfer, slot, share, beer, policy, found)
    // Too small a vessel for the line: a larger one as well.
    if (found.length === from || found.slice(from).some((each) => each.amount >= quantity)) break
    const { capacity } = model.vessels[slot.vessel]
    vessels = vessels.filter((each) => model.vessels[each].capacity > capacity)
  }
  return found.length > before
}

/** An order of vessels; now and then another one. */
function vesselOrder(order: readonly number[], random: Random | undefined): readonly number[] {
  if (!random || random() < 0.5 || order.length < 2) return order
  const turn = below(random, order.length)
  return [...order.slice(turn), ...order.slice(0, turn)]
}
