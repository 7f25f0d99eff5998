// Serving one line whole from one source: every source that could give all of it is judged for every dispatch option,
// the cheapest things first, and nothing is worked out that could no longer be the cheapest.
import { type Batch, surplusLeaves, type Transfer } from '../model/batch.ts'
import { type LineModel, TERM } from '../model/model.ts'
import { firstFillFor, OPTION_SIZE } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { addBrews, leastBrewCost } from './brew-sources.ts'
import { type Candidate, candidatesAt } from './candidates.ts'
import { latestFillDay, mayDraw } from './days.ts'
import { churnSaved, drawRoom, isSetUp, staysLonger, transferFor } from './draw-sources.ts'
import { drawCost, mostUnits } from './draws.ts'
import {
  emptyDelivery,
  type Found,
  fillWindows,
  optionCost,
  optionRoom,
  servesOption,
  standingCost,
  takeFrom,
} from './option.ts'
import { blinks, type InsertionPolicy, overlooksOption } from './policy.ts'
import { emptySource, type LineSource } from './source.ts'

/** The cheapest way found to serve the line whole from one source below `limit`, or undefined. Looks only. */
export function cheapestSingleSource(
  state: State,
  line: LineModel,
  limit: number,
  policy: InsertionPolicy,
): Found | undefined {
  return new SingleSource(state, line, limit, policy).find()
}

class SingleSource {
  private readonly state: State
  private readonly line: LineModel
  private readonly policy: InsertionPolicy
  /** What is being judged, and the best so far. */
  private readonly probe = emptySource()
  private readonly chosen = emptySource()
  private chosenAt = -1
  private best: number
  private readonly units: number
  /** Most that a set-up could save by being one of the baseline. */
  private readonly churn: number

  constructor(state: State, line: LineModel, limit: number, policy: InsertionPolicy) {
    this.state = state
    this.line = line
    this.policy = policy
    this.best = limit
    this.units = line.quantity * state.model.packs[line.pack].nominal
    this.churn = state.baseline.runs.size > 0 ? state.model.rates[TERM.churn] : 0
    this.probe.most = line.quantity
    this.probe.amount = line.quantity
  }

  find(): Found | undefined {
    const { state, line } = this
    const sites: number[] = []
    for (const route of state.model.accounts[line.account].routes) {
      const { site } = state.model.routes[route]
      if (!sites.includes(site)) sites.push(site)
    }
    for (const site of sites) this.searchSite(site)
    if (!this.policy.noBrews) for (const site of sites) this.searchBrews(site)
    if (this.chosenAt < 0) return undefined
    const delivery = emptyDelivery(line, this.chosenAt)
    takeFrom(state, line, delivery, this.chosen, line.quantity)
    return { placement: { line, deliveries: [delivery], delivered: line.quantity }, searchCost: this.best }
  }

  /** Stock, containers filled already, and draws from batches. */
  private searchSite(site: number): void {
    const { state, line, policy } = this
    const { model } = state
    const { options } = line
    const candidates = candidatesAt(state, line, site, policy)
    let least = Number.POSITIVE_INFINITY
    for (const candidate of candidates) least = Math.min(least, candidate.cost)
    least -= this.churn
    const ready = this.filled(site)
    for (const source of ready) least = Math.min(least, source.searchCost)
    if (least === Number.POSITIVE_INFINITY) return
    for (let at = 0; at < options.length; at += OPTION_SIZE) {
      const late = Math.max(0, options[at + 2] - line.dueOn) * this.units * line.lateRate
      if (late + least >= this.best) break
      if (model.routes[options[at]].site !== site) continue
      if (overlooksOption(policy)) continue
      const base = optionCost(state, line, at, line.quantity)
      for (const source of ready) this.judge(source, at, base)
      for (const candidate of candidates) this.searchBatch(candidate, at, base)
    }
  }

  /** Stock lots and unallocated containers that alone would serve the line. */
  private filled(site: number): LineSource[] {
    const { state, line } = this
    const { model } = state
    const { rates } = model
    const { conditioning, shelf } = model.packs[line.pack]
    const found: LineSource[] = []
    for (const index of model.lotsByPack[line.pack]) {
      const lot = model.lots[index]
      if (lot.site !== site || state.lotLeft[index] < line.quantity || lot.bestBefore < 0 || lot.quarantined) continue
      this.aim(index, undefined, -1, lot.readyOn - conditioning, undefined, false)
      found.push(this.savingOf(rates[lot.leaves < model.horizon ? TERM.dumped : TERM.unsold]))
    }
    for (const batch of state.batches[line.beer * model.sites.length + site]) {
      if (batch.quarantined) continue
      for (const run of batch.runs) {
        if (run.pack !== line.pack || run.surplus < line.quantity || blinks(this.policy)) continue
        this.aim(-1, batch, run.filler, run.day, undefined, true)
        found.push(
          this.savingOf(rates[surplusLeaves(model, run.day + shelf) < model.horizon ? TERM.dumped : TERM.unsold]),
        )
      }
    }
    return found
  }

  /** What is aimed at, as containers that are there already: each litre of them costs so much while no line takes it. */
  private savingOf(rate: number): LineSource {
    const saved = -this.units * rate
    return { ...this.probe, cost: saved, searchCost: saved }
  }

  private aim(
    lot: number,
    batch: Batch | undefined,
    filler: number,
    day: number,
    transfer: Transfer | undefined,
    surplus: boolean,
  ): void {
    const { probe } = this
    probe.lot = lot
    probe.batch = batch
    probe.filler = filler
    probe.day = day
    probe.transfer = transfer
    probe.surplus = surplus
  }

  /** Draws from one batch for one dispatch option, the latest first: standing only grows with every day before. */
  private searchBatch(candidate: Candidate, at: number, base: number): void {
    const { state, line, policy } = this
    const { model } = state
    const { batch, untransferred } = candidate
    const pack = model.packs[line.pack]
    const { rates } = model
    const { site } = batch
    const serve = line.options[at + 2]
    const from = Math.max(candidate.from, firstFillFor(model, line, serve))
    const to = Math.min(candidate.to, line.options[at + 1] - pack.conditioning)
    const { probe } = this
    // Top of the days just looked at that are all full; −1 where the last one was not.
    let runTo = -1
    for (let day = latestFillDay(state, site, to, from); day >= 0; day = latestFillDay(state, site, day - 1, from)) {
      this.aim(-1, batch, -1, day, undefined, false)
      if (day >= candidate.fullFrom && day <= candidate.fullTo) {
        if (runTo >= 0) candidate.fullTo = runTo
        runTo = candidate.fullTo
        day = candidate.fullFrom
        continue
      }
      const before = base + standingCost(state, line, probe, at, line.quantity)
      if (before + candidate.cost - this.churn >= this.best) return
      const longer = policy.vesselDayPrice > 0 ? policy.vesselDayPrice * staysLonger(batch, pack.bright, day) : 0
      let full = !untransferred
      for (const filler of model.sites[site].fillers) {
        if (blinks(policy)) {
          full = false
          continue
        }
        const started = isSetUp(state, batch, filler, day, pack.kind)
        const loss = started ? 0 : model.fillers[filler].setupLoss
        let cost = started ? 0 : model.beers[batch.beer].setupWeight * rates[TERM.setup] + loss * rates[TERM.dumped]
        cost += longer
        if (this.churn > 0) cost -= churnSaved(state, batch, filler, line.pack, day) * rates[TERM.churn]
        if (before + candidate.cost + cost >= this.best) {
          full = false
          continue
        }
        let transfer: Transfer | undefined
        if (untransferred) {
          transfer = transferFor(state, batch, day, policy)
          if (!transfer || !mayDraw(state, batch, line.pack, day, transfer)) break
        }
        const beer = candidate.units ?? mostUnits(state, batch, pack.bright, transfer)
        if (!untransferred) candidate.units = beer
        if (drawRoom(state, batch, line.pack, filler, day, beer, started) < line.quantity) continue
        full = false
        cost +=
          untransferred || loss > 0
            ? drawCost(state, batch, line.quantity * pack.draw + loss, pack.bright, transfer)
            : candidate.cost
        if (before + cost >= this.best) continue
        probe.filler = filler
        probe.transfer = transfer
        if (optionRoom(state, line, probe, at) < line.quantity) continue
        this.take(probe, at, before + cost)
      }
      if (!full) runTo = -1
      else {
        if (runTo < 0) runTo = day
        if (candidate.fullTo < 0 || day < candidate.fullFrom) {
          candidate.fullFrom = day
          candidate.fullTo = runTo
        }
      }
    }
  }

  private judge(source: LineSource, at: number, base: number): void {
    const { state, line } = this
    if (base + source.searchCost >= this.best || !servesOption(state, line, source, at)) return
    const cost = base + source.searchCost + standingCost(state, line, source, at, line.quantity)
    if (cost >= this.best || optionRoom(state, line, source, at) < line.quantity) return
    this.take(source, at, cost)
  }

  private take(source: LineSource, at: number, cost: number): void {
    Object.assign(this.chosen, source)
    this.chosenAt = at
    this.best = cost
  }

  /** New brews, if even the cheapest could still be the best. */
  private searchBrews(site: number): void {
    const { state, line, policy } = this
    const { options } = line
    const { model } = state
    const least = leastBrewCost(state, line, site, policy) - this.churn
    const first = options.length > 0 ? Math.max(0, options[2] - line.dueOn) * this.units * line.lateRate : 0
    if (first + least >= this.best || blinks(policy)) return
    const window = fillWindows(state, line).get(site)
    if (!window) return
    const found: LineSource[] = []
    addBrews(state, line, line.quantity, site, window, policy, found)
    if (found.length === 0) return
    for (let at = 0; at < options.length; at += OPTION_SIZE) {
      const late = Math.max(0, options[at + 2] - line.dueOn) * this.units * line.lateRate
      if (late + least >= this.best) break
      if (model.routes[options[at]].site !== site || overlooksOption(policy)) continue
      const base = optionCost(state, line, at, line.quantity)
      for (const source of found) if (source.amount >= line.quantity) this.judge(source, at, base)
    }
  }
}
