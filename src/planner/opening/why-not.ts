// Why a decision of the plan in force cannot stay as it is (F1): the first rule in its way, as data.
import { dayNumber, localDateOf } from '../calendar/days.ts'
import { brewsOf } from '../documents/brews.ts'
import type { Plan } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import type { ReasonCode } from '../documents/reason-codes.ts'
import type { RuleNumber } from '../documents/rule-numbers.ts'
import { mayBrew, mayTransferOn, transferable } from '../insertion/days.ts'
import type { Batch } from '../model/batch.ts'
import { limitOn, type SiteModel } from '../model/model.ts'
import { deadline } from '../model/sizing.ts'
import type { State } from '../model/state.ts'
import type { Overdrawn } from '../model/stores-fleets.ts'
import { LITRE, MINUTE, SLACK } from '../model/units.ts'
import type { PlanReader } from './plan-reader.ts'

/** Answers for the state as it stands. Each question is about a decision that was found not to fit into it. */
export class WhyNot {
  private readonly state: State
  private readonly reader: PlanReader

  constructor(state: State, reader: PlanReader) {
    this.state = state
    this.reader = reader
  }

  /** V1–V3, T2: a brew. */
  brew({ id, beerId, vesselId }: Plan['brews'][number], batch: Batch | undefined, units: number): Reason {
    const { model } = this.state
    const index = model.indexOf.vessel.get(vesselId)
    if (index === undefined) return say('V3', 'VESSEL_GONE', 'VESSEL', vesselId)
    if (!batch) return say('V2', 'BEER_GONE', 'BEER', beerId)
    const vessel = model.vessels[index]
    if (vessel.bright || !model.beers[batch.beer].allowed[index])
      return say('V2', 'VESSEL_NOT_ALLOWED', 'VESSEL', vesselId, { beerId })
    if (units < vessel.minFill - SLACK || units > vessel.capacity + SLACK) {
      const range = { least: litres(vessel.minFill), most: litres(vessel.capacity) }
      return say('V2', 'VOLUME_OUT_OF_RANGE', 'VESSEL', vesselId, { brewId: id, litres: litres(units), ...range })
    }
    const day = batch.brewOn
    const site = model.sites[batch.site]
    if (!site.brewOn[day]) return this.on(day, say('T2', 'SITE_DOES_NOT_BREW', 'SITE', site.id))
    if (!mayBrew(this.state, batch.site, day, brewsOf(units / LITRE, site.brewLitres)))
      return this.on(
        day,
        say('V1', 'BREWS_TAKEN', 'SITE', site.id, {
          most: limitOn(site.brewsPerDay, site.brewsOnly, day),
        }),
      )
    return this.taken(index, day, day)
  }

  /** V4–V10, L1, T2: a run, with all its containers. */
  run({ batchId, fillerId, packId, quantity, on }: Plan['fillRuns'][number]): Reason {
    const { model, minutesUsed } = this.state
    const batch = this.reader.batches.get(batchId)
    if (!batch || !this.reader.brewable(batch)) return lost(batchId)
    const packIndex = model.indexOf.pack.get(packId)
    if (packIndex === undefined) return say('A1', 'PACK_GONE', 'PACK', packId)
    const pack = model.packs[packIndex]
    const fillerIndex = model.indexOf.filler.get(fillerId) ?? -1
    const filler = model.fillers[fillerIndex]
    if (!filler || filler.each[pack.type] === Number.POSITIVE_INFINITY)
      return say('L1', 'FILLER_CANNOT_FILL', 'FILLER', fillerId)
    const day = dayNumber(on) - model.today
    const site = model.sites[batch.site]
    if (!site.fillOn[day]) return this.on(day, say('T2', 'SITE_DOES_NOT_FILL', 'SITE', site.id))
    const cellar = this.cellar(batch, batchId, packIndex, day)
    if (cellar) return cellar
    const free = filler.minutes[day] - minutesUsed[fillerIndex][day]
    const work = quantity * filler.each[pack.type]
    const alone = work + filler.setupMinutes[batch.beer]
    if (free >= alone && free < work + this.state.setupWork(batch.beer, fillerIndex, day))
      return this.on(day, say('L4', 'FILLER_NOT_WASHED', 'FILLER', fillerId))
    if (free < alone) {
      const minutes = { spare: Math.max(0, Math.floor(free / MINUTE)), work: Math.ceil(work / MINUTE) }
      return this.on(day, say('L1', 'FILLER_BUSY', 'FILLER', fillerId, minutes))
    }
    return say('V9', 'BATCH_TOO_SMALL', 'BATCH', batchId, { quantity, packId })
  }

  /** V3–V8, T2: a transfer. */
  transfer({ batchId, toVesselId, on, litres: wanted }: Plan['transfers'][number]): Reason {
    const { model } = this.state
    const batch = this.reader.batches.get(batchId)
    if (!batch || !this.reader.brewable(batch)) return lost(batchId)
    const to = model.indexOf.vessel.get(toVesselId) ?? -1
    if (to < 0 || !model.vessels[to].bright || model.vessels[to].site !== batch.site)
      return say('V6', 'NOT_A_BRIGHT_VESSEL', 'VESSEL', toVesselId)
    if (batch.fermenter < 0) return say('V6', 'MOVED_ALREADY', 'BATCH', batchId)
    const day = dayNumber(on) - model.today
    const site = model.sites[batch.site]
    if (!site.fillOn[day]) return this.on(day, say('T2', 'SITE_DOES_NOT_MOVE', 'SITE', site.id))
    if (batch.quarantined) return quarantined(batchId)
    if (day < batch.ready) return this.notReady(batch, batchId)
    if (day > batch.fermenterDeadline) return this.mustBeOut(batchId, batch.fermenterDeadline)
    const left = batch.given - batch.fromFermenter
    if (batch.standing >= 0 && left < wanted * LITRE - SLACK)
      return say('V6', 'TOO_LITTLE_TO_MOVE', 'BATCH', batchId, { left: litres(left), wanted: Math.round(wanted) })
    return this.noTransferLeft(site, day) ?? this.taken(to, day, day + 1)
  }

  /** C1, S1: a run of which a fleet or a store cannot bear all. */
  overdrawn({ rule, index, day }: Overdrawn): Reason {
    const { sites, types } = this.state.model
    if (rule === 'C1') {
      const { id } = sites[Math.floor(index / types.length)]
      return this.on(day, say('C1', 'CONTAINERS_SHORT', 'FLEET', `${id}/${types[index % types.length].id}`))
    }
    const { id } = sites[index >> 1]
    return this.on(day, say('S1', 'STORE_FULL', 'STORE', `${id}/${index % 2 === 0 ? 'COLD' : 'WARM'}`))
  }

  /** What the batch itself forbids: quarantine, ready day, priming, how long it may stand (V4, V5, V7, V8). */
  private cellar(batch: Batch, id: string, packIndex: number, day: number): Reason | undefined {
    const { model } = this.state
    const { bright, primingWindow } = model.packs[packIndex]
    if (batch.quarantined) return quarantined(id)
    if (day < batch.ready) return this.notReady(batch, id)
    if (primingWindow >= 0 && !batch.primable) return say('V7', 'UNFIT_FOR_PRIMING', 'BATCH', id)
    const primed = batch.ready + primingWindow
    if (primingWindow >= 0 && day > primed) return this.on(primed, say('V7', 'PRIMING_WINDOW_OVER', 'BATCH', id))
    const planned = this.reader.transfers.get(id)
    if (!bright) {
      if (batch.fermenter < 0) return say('V4', 'IN_BRIGHT_VESSEL', 'BATCH', id)
      return day > batch.fermenterDeadline ? this.mustBeOut(id, batch.fermenterDeadline) : undefined
    }
    const movedOn = batch.transferOn >= 0 || batch.fermenter < 0 ? batch.transferOn : planned?.on
    if (movedOn === undefined) return say('V4', 'NOT_MOVED', 'BATCH', id)
    if (planned && batch.fermenter >= 0 && batch.transferOn < 0) {
      if (planned.on < batch.ready) return this.notReady(batch, id)
      if (!transferable(this.state, batch, planned))
        return this.noTransferLeft(model.sites[batch.site], planned.on) ?? this.taken(planned.bright, planned.on, day)
    }
    const last = deadline(model, batch, movedOn)
    return day > last ? this.mustBeOut(id, last) : undefined
  }

  private notReady({ ready }: Batch, id: string): Reason {
    return this.on(ready, say('V4', 'NOT_READY', 'BATCH', id))
  }

  private mustBeOut(id: string, last: number): Reason {
    return this.on(last, say('V5', 'MUST_BE_EMPTY', 'BATCH', id))
  }

  /** V11: the site starts no more transfers on a day. */
  private noTransferLeft(site: SiteModel, day: number): Reason | undefined {
    const { model } = this.state
    if (!site.fillOn[day] || mayTransferOn(this.state, model.sites.indexOf(site), day)) return undefined
    return this.on(
      day,
      say('V11', 'TRANSFERS_TAKEN', 'SITE', site.id, {
        most: limitOn(site.transfersPerDay, site.transfersOnly, day),
      }),
    )
  }

  /** V3: what keeps beer from standing in a vessel on these days. */
  private taken(index: number, from: number, to: number): Reason {
    const { id, availableFrom, outOfService } = this.state.model.vessels[index]
    const out = outOfService.find((each) => each.from <= to && each.to >= from)
    if (out) return this.on(out.from, say('V3', 'VESSEL_OUT_OF_SERVICE', 'VESSEL', id), out.to)
    if (from < availableFrom) return this.on(availableFrom, say('V3', 'VESSEL_NOT_YET_THERE', 'VESSEL', id))
    return this.on(from, say('V3', 'VESSEL_TAKEN', 'VESSEL', id), to)
  }

  /** The reason, with its days. */
  private on(from: number, reason: Reason, to = from): Reason {
    const { today } = this.state.model
    return { ...reason, from: localDateOf(today + from), to: localDateOf(today + to) }
  }
}

function say(rule: RuleNumber, code: ReasonCode, kind: string, id: string, params?: Reason['params']): Reason {
  return { rule, code, ...(params ? { params } : {}), resource: { kind, id } }
}

function lost(id: string): Reason {
  return say('V9', 'SOURCE_LOST', 'BATCH', id)
}

function quarantined(id: string): Reason {
  return say('V8', 'BATCH_QUARANTINED', 'BATCH', id)
}

/** Whole litres. */
function litres(units: number): number {
  return Math.round(units / LITRE)
}
