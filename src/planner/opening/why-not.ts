// Why a decision of the plan in force cannot stay as it is (F1): the first rule in its way, in a brewer's words.
import { dayNumber, dayWords, localDateOf } from '../calendar/days.ts'
import { brewsOf } from '../documents/brews.ts'
import type { Plan } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import type { RuleNumber } from '../documents/rule-numbers.ts'
import { mayBrew, mayTransferOn, transferable } from '../insertion/days.ts'
import type { Batch } from '../model/batch.ts'
import type { SiteModel } from '../model/model.ts'
import { deadline } from '../model/sizing.ts'
import type { State } from '../model/state.ts'
import { LITRE, MINUTE, SLACK } from '../model/units.ts'
import type { PlanReader } from './plan-reader.ts'
import type { Breach } from './restore-capacity.ts'

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
    if (index === undefined) return say('V3', 'VESSEL', vesselId, `Vessel ${vesselId} is there no more.`)
    if (!batch) return say('V2', 'BEER', beerId, `Beer ${beerId} is brewed no more.`)
    const vessel = model.vessels[index]
    if (vessel.bright || !model.beers[batch.beer].allowed[index])
      return say('V2', 'VESSEL', vesselId, `Beer ${beerId} may not be brewed into vessel ${vesselId}.`)
    if (units < vessel.minFill - SLACK || units > vessel.capacity + SLACK) {
      const range = `${litres(vessel.minFill)} to ${litres(vessel.capacity)} L`
      return say('V2', 'VESSEL', vesselId, `Vessel ${vesselId} takes ${range}, and ${id} is ${litres(units)} L.`)
    }
    const day = batch.brewOn
    const site = model.sites[batch.site]
    if (!site.brewOn[day])
      return this.on(day, say('T2', 'SITE', site.id, `Site ${site.id} does not brew on ${this.words(day)}.`))
    if (!mayBrew(this.state, batch.site, day, brewsOf(units / LITRE, site.brewLitres))) {
      const message = `Site ${site.id} makes at most ${site.brewsPerDay} brews a day, and others take up ${this.words(day)}.`
      return this.on(day, say('V1', 'SITE', site.id, message))
    }
    return this.taken(index, day, day)
  }

  /** V4–V10, L1, T2: a run, with all its containers. */
  run({ batchId, fillerId, packId, quantity, on }: Plan['fillRuns'][number]): Reason {
    const { model, minutesUsed } = this.state
    const batch = this.reader.batches.get(batchId)
    if (!batch || !this.reader.brewable(batch)) return lost(batchId)
    const packIndex = model.indexOf.pack.get(packId)
    if (packIndex === undefined) return say('A1', 'PACK', packId, `Pack ${packId} is filled no more.`)
    const pack = model.packs[packIndex]
    const fillerIndex = model.indexOf.filler.get(fillerId) ?? -1
    const filler = model.fillers[fillerIndex]
    if (!filler || filler.each[pack.type] === Number.POSITIVE_INFINITY)
      return say('L1', 'FILLER', fillerId, `Filler ${fillerId} fills no containers of this type any more.`)
    const day = dayNumber(on) - model.today
    const site = model.sites[batch.site]
    if (!site.fillOn[day])
      return this.on(day, say('T2', 'SITE', site.id, `Site ${site.id} does not fill on ${this.words(day)}.`))
    const cellar = this.cellar(batch, batchId, packIndex, day)
    if (cellar) return cellar
    const free = filler.minutes[day] - minutesUsed[fillerIndex][day]
    const work = quantity * filler.each[pack.type]
    const alone = work + filler.setupMinutes[batch.beer]
    if (free >= alone && free < work + this.state.setupWork(batch.beer, fillerIndex, day)) {
      const message = `Filler ${fillerId} has no minutes left on ${this.words(day)} to be washed for another group of beers.`
      return this.on(day, say('L4', 'FILLER', fillerId, message))
    }
    if (free < alone) {
      const has = `has ${Math.max(0, Math.floor(free / MINUTE))} minutes to spare on ${this.words(day)}`
      const message = `Filler ${fillerId} ${has}, and this takes ${Math.ceil(work / MINUTE)} and a set-up.`
      return this.on(day, say('L1', 'FILLER', fillerId, message))
    }
    return say('V9', 'BATCH', batchId, `${batchId} has too little beer for ${quantity} of pack ${packId}.`)
  }

  /** V3–V8, T2: a transfer. */
  transfer({ batchId, toVesselId, on, litres: wanted }: Plan['transfers'][number]): Reason {
    const { model } = this.state
    const batch = this.reader.batches.get(batchId)
    if (!batch || !this.reader.brewable(batch)) return lost(batchId)
    const to = model.indexOf.vessel.get(toVesselId) ?? -1
    if (to < 0 || !model.vessels[to].bright || model.vessels[to].site !== batch.site)
      return say('V6', 'VESSEL', toVesselId, `${toVesselId} is no bright vessel of this site any more.`)
    if (batch.fermenter < 0)
      return say('V6', 'BATCH', batchId, `${batchId} stands in a bright vessel already, and moves once only.`)
    const day = dayNumber(on) - model.today
    const site = model.sites[batch.site]
    if (!site.fillOn[day])
      return this.on(day, say('T2', 'SITE', site.id, `Site ${site.id} moves no beer on ${this.words(day)}.`))
    if (batch.quarantined) return quarantined(batchId)
    if (day < batch.ready) return this.notReady(batch, batchId)
    if (day > batch.fermenterDeadline) return this.mustBeOut(batchId, batch.fermenterDeadline)
    const left = batch.given - batch.fromFermenter
    if (batch.standing >= 0 && left < wanted * LITRE - SLACK) {
      const message = `${batchId} has ${litres(left)} L left to move, and ${wanted.toFixed(0)} L were to be moved.`
      return say('V6', 'BATCH', batchId, message)
    }
    return this.noTransferLeft(site, day) ?? this.taken(to, day, day + 1)
  }

  /** C1, S1: a run of which a fleet or a store cannot bear all. */
  breach(breach: Breach): Reason {
    const { model } = this.state
    const { day } = breach
    if (breach.rule === 'C1') {
      const { id } = model.sites[breach.site]
      const type = model.types[breach.type].id
      const message = `Clean containers of type ${type} are short at site ${id} by ${this.words(day)}.`
      return this.on(day, say('C1', 'FLEET', `${id}/${type}`, message))
    }
    const { id } = model.sites[breach.store >> 1]
    const climate = breach.store % 2 === 0 ? 'COLD' : 'WARM'
    const message = `The ${climate.toLowerCase()} store of site ${id} has no room for it on ${this.words(day)}.`
    return this.on(day, say('S1', 'STORE', `${id}/${climate}`, message))
  }

  /** What the batch itself forbids: quarantine, ready day, priming, how long it may stand (V4, V5, V7, V8). */
  private cellar(batch: Batch, id: string, packIndex: number, day: number): Reason | undefined {
    const { model } = this.state
    const { bright, primingWindow } = model.packs[packIndex]
    if (batch.quarantined) return quarantined(id)
    if (day < batch.ready) return this.notReady(batch, id)
    if (primingWindow >= 0 && !batch.primable) return say('V7', 'BATCH', id, `${id} is not fit for priming any more.`)
    const primed = batch.ready + primingWindow
    if (primingWindow >= 0 && day > primed)
      return this.on(primed, say('V7', 'BATCH', id, `${id} can be primed until ${this.words(primed)} and no longer.`))
    const planned = this.reader.transfers.get(id)
    if (!bright) {
      if (batch.fermenter < 0)
        return say('V4', 'BATCH', id, `${id} stands in a bright vessel, and this pack is drawn from the fermenter.`)
      return day > batch.fermenterDeadline ? this.mustBeOut(id, batch.fermenterDeadline) : undefined
    }
    const movedOn = batch.transferOn >= 0 || batch.fermenter < 0 ? batch.transferOn : planned?.on
    if (movedOn === undefined) return say('V4', 'BATCH', id, `${id} is not moved to a bright vessel any more.`)
    if (planned && batch.fermenter >= 0 && batch.transferOn < 0) {
      if (planned.on < batch.ready) return this.notReady(batch, id)
      if (!transferable(this.state, batch, planned))
        return this.noTransferLeft(model.sites[batch.site], planned.on) ?? this.taken(planned.bright, planned.on, day)
    }
    const last = deadline(model, batch, movedOn)
    return day > last ? this.mustBeOut(id, last) : undefined
  }

  private notReady({ ready }: Batch, id: string): Reason {
    return this.on(ready, say('V4', 'BATCH', id, `${id} is not ready before ${this.words(ready)}.`))
  }

  private mustBeOut(id: string, last: number): Reason {
    return this.on(last, say('V5', 'BATCH', id, `${id} must be out of its vessel by ${this.words(last)}.`))
  }

  /** V11: the site starts no more transfers on a day. */
  private noTransferLeft(site: SiteModel, day: number): Reason | undefined {
    const { model } = this.state
    if (!site.fillOn[day] || mayTransferOn(this.state, model.sites.indexOf(site), day)) return undefined
    const message = `Site ${site.id} can start no more transfers on ${this.words(day)}: its limit is ${site.transfersPerDay} a day.`
    return this.on(day, say('V11', 'SITE', site.id, message))
  }

  /** V3: what keeps beer from standing in a vessel on these days. */
  private taken(index: number, from: number, to: number): Reason {
    const { id, availableFrom, outOfService } = this.state.model.vessels[index]
    const out = outOfService.find((each) => each.from <= to && each.to >= from)
    if (out) {
      const message = `Vessel ${id} is out of service from ${this.words(out.from)} to ${this.words(out.to)}.`
      return this.on(out.from, say('V3', 'VESSEL', id, message), out.to)
    }
    if (from < availableFrom) {
      const message = `Vessel ${id} cannot be used before ${this.words(availableFrom)}.`
      return this.on(availableFrom, say('V3', 'VESSEL', id, message))
    }
    return this.on(from, say('V3', 'VESSEL', id, `Other beer stands in vessel ${id} on ${this.words(from)}.`), to)
  }

  /** The reason, with its days. */
  private on(from: number, reason: Reason, to = from): Reason {
    const { today } = this.state.model
    return { ...reason, from: localDateOf(today + from), to: localDateOf(today + to) }
  }

  private words(day: number): string {
    return dayWords(this.state.model.today + day)
  }
}

function say(rule: RuleNumber, kind: string, id: string, message: string): Reason {
  return { rule, resource: { kind, id }, message }
}

function lost(id: string): Reason {
  return say('V9', 'BATCH', id, `The beer was to come from ${id}, which cannot be as it was.`)
}

function quarantined(id: string): Reason {
  return say('V8', 'BATCH', id, `${id} is quarantined: it may be neither drawn nor moved.`)
}

function litres(units: number): string {
  return (units / LITRE).toFixed(0)
}
