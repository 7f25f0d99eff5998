// Draws from one batch as a source: the transfer that it needs, how many containers it can give, and what they would cost.
import { type Batch, runKey, setupKey, type Transfer } from '../model/batch.ts'
import { fleetIndex, type LineModel, TERM } from '../model/model.ts'
import { earliestEnd } from '../model/sizing.ts'
import type { State } from '../model/state.ts'
import { SLACK } from '../model/units.ts'
import { fits, lastsTo } from '../model/vessels.ts'
import { type BrewSlot, newBrewCost } from './brews.ts'
import { fermenterLasts, latestTransferDay, narrowTransferDays } from './days.ts'
import { drawCost } from './draws.ts'
import type { InsertionPolicy } from './policy.ts'
import { type LineSource, MOST_CONTAINERS, source } from './source.ts'

/** The transfer that lets a batch be drawn from a bright vessel on a day: by the policy early or late, in the vessel that wastes least. */
export function transferFor(
  state: State,
  batch: Batch,
  day: number,
  { earlyTransfers }: Pick<InsertionPolicy, 'earlyTransfers'>,
): Transfer | undefined {
  const { model } = state
  const beer = model.beers[batch.beer]
  const stay = batch.fermenterStay
  // The next batch in the fermenter may need it sooner (V3).
  const lasts = stay ? lastsTo(model, state.stays[stay.vessel], stay) : Number.POSITIVE_INFINITY
  const { days } = state.scratch
  days.from = Math.max(day - beer.brightDays - beer.maxBrightDays, model.frozenUntil, 0)
  days.to = Math.min(day - beer.brightDays, lasts)
  narrowTransferDays(state, batch, days)
  const soon = earlyTransfers && stay ? Math.min(days.to, Math.max(days.from, earliestEnd(stay))) : days.to
  let on = latestTransferDay(state, batch.site, soon, days.from)
  if (on < 0 && soon < days.to) on = latestTransferDay(state, batch.site, days.to, soon + 1)
  if (on < 0) return undefined
  if (!fermenterLasts(state, batch, on)) return undefined
  let best: Transfer | undefined
  let bestCost = Number.POSITIVE_INFINITY
  for (const bright of model.sites[batch.site].brights) {
    if (!fits(model, state.stays[bright], bright, on, Math.max(day, on + 1))) continue
    const transfer = { on, bright }
    const cost = drawCost(state, batch, 0, true, transfer)
    if (cost < bestCost) {
      best = transfer
      bestCost = cost
    }
  }
  return best
}

/** Has a filler set up for containers of a kind from a batch on a day (L1)? */
export function isSetUp({ model }: State, batch: Batch, filler: number, day: number, kind: 0 | 1): boolean {
  return batch.setupAt.has(setupKey(model, filler, day, kind))
}

/**
 * Most containers of a pack that a filler can fill from `units` of a batch on a day: by its minutes, the beer and clean
 * containers. `started` is what `isSetUp` says.
 */
export function drawRoom(
  state: State,
  batch: Batch,
  packIndex: number,
  filler: number,
  day: number,
  units: number,
  started: boolean,
): number {
  const { model } = state
  const pack = model.packs[packIndex]
  const fillerModel = model.fillers[filler]
  const each = fillerModel.each[pack.type]
  if (each === Number.POSITIVE_INFINITY) return 0
  const minutes =
    fillerModel.minutes[day] - state.minutesUsed[filler][day] - (started ? 0 : state.setupWork(batch.beer, filler, day))
  if (minutes < each || batch.runAt.get(runKey(model, filler, day, packIndex))?.fixed) return 0
  const room = units - (started ? 0 : fillerModel.setupLoss)
  let most = each > 0 ? Math.min(MOST_CONTAINERS, Math.floor(minutes / each)) : MOST_CONTAINERS
  if (pack.draw > 0) most = Math.min(most, Math.floor((room + SLACK) / pack.draw))
  const clean = state.clean[fleetIndex(model, batch.site, pack.type)]
  if (clean) most = Math.min(most, clean[day])
  return most
}

/** One batch, filler and day as a source, if it can give at least one container; `beer` is what `mostUnits` says. */
export function addDraw(
  state: State,
  line: LineModel,
  quantity: number,
  batch: Batch,
  filler: number,
  day: number,
  transfer: Transfer | undefined,
  brew: BrewSlot | undefined,
  share: number,
  beer: number,
  policy: InsertionPolicy,
  found: LineSource[],
): void {
  const { model } = state
  const pack = model.packs[line.pack]
  const started = isSetUp(state, batch, filler, day, pack.kind)
  const most = drawRoom(state, batch, line.pack, filler, day, beer, started)
  if (most <= 0) return
  const loss = started ? 0 : model.fillers[filler].setupLoss
  const amount = Math.min(most, quantity)
  const units = amount * pack.draw + loss
  const { rates } = model
  let cost = brew ? newBrewCost(state, batch, units, transfer) : drawCost(state, batch, units, pack.bright, transfer)
  if (cost === Number.POSITIVE_INFINITY) return
  let searchCost = cost * share
  const extra = started ? 0 : model.beers[batch.beer].setupWeight * rates[TERM.setup] + loss * rates[TERM.dumped]
  const drawn = batch.runAt.has(runKey(model, filler, day, line.pack))
  const churn = drawn ? 0 : churnSaved(state, batch, filler, line.pack, day) * rates[TERM.churn]
  cost += extra - churn
  searchCost += extra - churn
  if (policy.vesselDayPrice > 0) {
    const waits = brew ? daysFreeBefore(state, brew) : 0
    searchCost += policy.vesselDayPrice * (waits + staysLonger(batch, pack.bright, day))
  }
  found.push(source(-1, brew ? undefined : batch, brew, filler, day, transfer, false, most, amount, cost, searchCost))
}

/** Days by which a draw makes a batch stay longer in the vessel that it is drawn from; of a brew that is not in the plan yet, those after its ready day. */
export function staysLonger(batch: Batch, bright: boolean, day: number): number {
  const { brightStay, fermenterStay } = batch
  if (bright) return brightStay ? Math.max(0, day - earliestEnd(brightStay)) : 0
  return Math.max(0, day - (fermenterStay ? earliestEnd(fermenterStay) : batch.ready))
}

/** Days on which the vessel of a new brew would stand empty before it. */
function daysFreeBefore({ model, stays }: State, { vessel, brewOn }: BrewSlot): number {
  const { turnaround, availableFrom } = model.vessels[vessel]
  let from = Math.max(availableFrom, model.frozenUntil, 0)
  for (const stay of stays[vessel]) if (stay.start < brewOn) from = Math.max(from, earliestEnd(stay) + turnaround + 1)
  return Math.max(0, brewOn - from)
}

/** Runs of the baseline that a draw would keep: one or none. */
export function churnSaved(state: State, batch: Batch, filler: number, pack: number, day: number): number {
  if (state.baseline.runs.size === 0) return 0
  const { id } = state.identity(batch)
  return id !== undefined && state.baseline.runs.has(`${id}|${filler}|${pack}|${day}`) ? 1 : 0
}
