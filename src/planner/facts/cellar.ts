// The beer in the cellar: every batch that stands or is brewed, its stay in one vessel or in two, what is drawn,
// dumped and moved on, and so when each vessel is empty again.
import { minuteOfDay, wallClock } from '../calendar/days.ts'
import { setupMinutes } from '../documents/filling-minutes.ts'
import type { Batch, Beer, Filler, Plan, Vessel } from '../documents/problem.ts'
import { LITRE_TOLERANCE } from '../documents/tolerances.ts'
import { type PackFacts, type SetupFacts, type SiteFacts, siteOf } from './setup.ts'
import { type Violation, violation } from './violation.ts'

type Brew = Plan['brews'][number]
type Transfer = Plan['transfers'][number]
type FillRun = Plan['fillRuns'][number]

/** One batch, standing today or brewed by the plan. Days count from today. */
export interface BatchFacts {
  id: string
  beer: Beer
  site: SiteFacts
  /** Set where the plan brews it. */
  brew: Brew | undefined
  /** Set where it stands today. */
  standing: Batch | undefined
  readyDay: number
  primable: boolean
  quarantined: boolean
  /** The vessel that it is in first, and the bright vessel that the plan transfers it to. */
  stays: Stay[]
  transfer: TransferFacts | undefined
  /** Transfers after the first; each is a breach of V6. */
  furtherTransfers: Transfer[]
}

export interface TransferFacts {
  transfer: Transfer
  day: number
  batch: BatchFacts
  vessel: Vessel
  /** What is left in the fermenter when its fills and dumping up to that day are done (T4). */
  leftLitres: number
}

/** A batch's time in one vessel. */
export interface Stay {
  batch: BatchFacts
  vessel: Vessel
  /** Whether it is the batch's stay in a fermenter or in a bright vessel. */
  in: 'FERMENTER' | 'BRIGHT'
  /** False where the batch stands in it today. */
  planned: boolean
  /** Day of the brew or transfer; -Infinity for what stands in it today. */
  enters: number
  /** Drawable litres that come into it. */
  litres: number
  /** The first day on which its packs may be filled (V4). */
  firstFillDay: number
  runs: RunFacts[]
  setUps: SetUp[]
  dumps: { day: number; litres: number }[]
  /** Litres still in it at the end of the horizon, or after the transfer; below zero where more is taken than there is. */
  leftLitres: number
  /** The day on which it is emptied, or undefined while beer is in it to the end of the horizon (V3). */
  emptiedOn: number | undefined
}

export interface RunFacts {
  run: FillRun
  day: number
  batch: BatchFacts
  filler: Filler
  of: PackFacts
  stay: Stay
}

/** One setting-up of a filler: a batch and a container kind on a day (L1). */
export interface SetUp {
  filler: Filler
  day: number
  batch: BatchFacts
  kind: 'CASK' | 'KEG'
  runs: RunFacts[]
  minutes: number
  lossLitres: number
}

export interface CellarFacts {
  batches: ReadonlyMap<string, BatchFacts>
  runs: RunFacts[]
  setUps: SetUp[]
  /** References of the plan's cellar work that lead nowhere. */
  unresolved: Violation[]
}

/** Follows all beer through the cellar. */
export function cellarFacts(setup: SetupFacts, plan: Plan): CellarFacts {
  const unresolved: Violation[] = []
  const batches = new Map<string, BatchFacts>()
  for (const batch of setup.problem.batches) batches.set(batch.id, standingBatch(setup, batch))
  for (const brew of plan.brews) {
    const beer = setup.beers.get(brew.beerId)
    const vessel = setup.vessels.get(brew.vesselId)
    if (batches.has(brew.id)) unresolved.push(violation('DOCUMENT', `brew "${brew.id}" has the id of a batch`, brew.id))
    else if (!beer || !vessel)
      unresolved.push(violation('DOCUMENT', `brew "${brew.id}" names no beer or no vessel of the problem`, brew.id))
    else batches.set(brew.id, brewedBatch(setup, brew, beer, vessel))
  }
  addTransfers(setup, plan, batches, unresolved)
  const runs = addRuns(setup, plan, batches, unresolved)
  const setUps = addSetUps(runs)
  for (const { batchId, on, litres } of plan.dumped) {
    const batch = batches.get(batchId)
    if (!batch) unresolved.push(violation('DOCUMENT', `what is dumped on ${on} is of no batch "${batchId}"`, batchId))
    else {
      // T4: dumping comes before a transfer of the same day, so on that day it is the fermenter's beer.
      const day = setup.dayOf(on)
      const second = batch.transfer && day > batch.transfer.day ? batch.stays[1] : undefined
      ;(second ?? batch.stays[0])?.dumps.push({ day, litres })
    }
  }
  for (const batch of batches.values()) settle(batch)
  return { batches, runs, setUps, unresolved }
}

/** Litres that a set of runs takes from its batch, overfill included (L2). */
export function drawnLitres(runs: readonly RunFacts[]): number {
  return runs.reduce((sum, { run, of }) => sum + run.quantity * of.drawLitres, 0)
}

/** The ready day (T1): the first calendar day whose fill start is not before a wall-clock moment. */
function readyDay(day: number, minute: number, site: SiteFacts): number {
  const endDay = day + Math.floor(minute / 1440 + ROUNDING)
  // Fractional hours add up with rounding errors: a microsecond after the start of filling is the start.
  return minute - (endDay - day) * 1440 <= site.fillStarts + ROUNDING * 1440 ? endDay : endDay + 1
}

const ROUNDING = 1e-9

function standingBatch(setup: SetupFacts, batch: Batch): BatchFacts {
  const beer = setup.beers.get(batch.beerId)
  const vessel = setup.vessels.get(batch.vesselId)
  if (!beer || !vessel) throw new RangeError(`batch ${batch.id} names no beer or vessel: parse the problem first`)
  const site = siteOf(setup, vessel.siteId)
  const ready = wallClock(batch.readyAt, site.site.timeZone)
  const facts = newBatch(batch.id, beer, site, readyDay(ready.day - setup.today, ready.minute, site))
  facts.standing = batch
  facts.primable = batch.primable
  facts.quarantined = batch.quarantined
  const inBright = vessel.kind === 'BRIGHT'
  const transferred = batch.transferredOn === undefined ? undefined : setup.dayOf(batch.transferredOn)
  const firstFillDay = inBright && transferred !== undefined ? transferred + beer.brightDays : facts.readyDay
  facts.stays.push(newStay(facts, vessel, inBright ? 'BRIGHT' : 'FERMENTER', -Infinity, batch.litres, firstFillDay))
  return facts
}

function brewedBatch(setup: SetupFacts, brew: Brew, beer: Beer, vessel: Vessel): BatchFacts {
  const site = siteOf(setup, vessel.siteId)
  const brewDay = setup.dayOf(brew.brewOn)
  const hours = beer.fermentHours + beer.restHours + beer.dryHopHours + beer.crashHours
  const ready = readyDay(brewDay, minuteOfDay(site.site.brewEnds) + hours * 60, site)
  const facts = newBatch(brew.id, beer, site, ready)
  facts.brew = brew
  facts.stays.push(newStay(facts, vessel, 'FERMENTER', brewDay, brew.litres * (1 - beer.lossFraction), ready))
  return facts
}

function newBatch(id: string, beer: Beer, site: SiteFacts, ready: number): BatchFacts {
  return {
    id,
    beer,
    site,
    brew: undefined,
    standing: undefined,
    readyDay: ready,
    primable: true,
    quarantined: false,
    stays: [],
    transfer: undefined,
    furtherTransfers: [],
  }
}

function newStay(
  batch: BatchFacts,
  vessel: Vessel,
  where: Stay['in'],
  enters: number,
  litres: number,
  firstFillDay: number,
): Stay {
  return {
    batch,
    vessel,
    in: where,
    planned: enters !== -Infinity,
    enters,
    litres,
    firstFillDay,
    runs: [],
    setUps: [],
    dumps: [],
    leftLitres: litres,
    emptiedOn: undefined,
  }
}

function addTransfers(setup: SetupFacts, plan: Plan, batches: Map<string, BatchFacts>, unresolved: Violation[]): void {
  const inOrder = plan.transfers.map((transfer) => ({ transfer, day: setup.dayOf(transfer.on) }))
  inOrder.sort((a, b) => a.day - b.day)
  for (const { transfer, day } of inOrder) {
    const batch = batches.get(transfer.batchId)
    const vessel = setup.vessels.get(transfer.toVesselId)
    if (!batch || !vessel)
      unresolved.push(violation('DOCUMENT', `transfer "${transfer.id}" names no batch or no vessel`, transfer.id))
    else if (batch.transfer || batch.stays[0]?.in === 'BRIGHT') batch.furtherTransfers.push(transfer)
    else {
      batch.transfer = { transfer, day, batch, vessel, leftLitres: 0 }
      batch.stays.push(newStay(batch, vessel, 'BRIGHT', day, transfer.litres, day + batch.beer.brightDays))
    }
  }
}

function addRuns(
  setup: SetupFacts,
  plan: Plan,
  batches: ReadonlyMap<string, BatchFacts>,
  unresolved: Violation[],
): RunFacts[] {
  const runs: RunFacts[] = []
  for (const run of plan.fillRuns) {
    const batch = batches.get(run.batchId)
    const filler = setup.fillers.get(run.fillerId)
    const of = setup.packs.get(run.packId)
    // What is drawn from the wrong kind of vessel breaks V4; its litres still leave the batch.
    const stay = batch?.stays.find((one) => one.in === of?.pack.drawFrom) ?? batch?.stays[0]
    if (!batch || !filler || !of || !stay) {
      unresolved.push(violation('DOCUMENT', `run "${run.id}" names no batch, filler or pack of the problem`, run.id))
      continue
    }
    const facts = { run, day: setup.dayOf(run.on), batch, filler, of, stay }
    stay.runs.push(facts)
    runs.push(facts)
  }
  return runs
}

/** L1: one set-up for each filler, day, batch and container kind. Its loss comes from the vessel that is drawn first. */
function addSetUps(runs: readonly RunFacts[]): SetUp[] {
  const setUps = new Map<string, SetUp>()
  for (const run of runs) {
    const { filler, day, batch, of } = run
    const key = JSON.stringify([filler.id, day, batch.id, of.type.kind])
    const known = setUps.get(key)
    if (known) known.runs.push(run)
    else {
      const minutes = setupMinutes(filler, batch.beer.id)
      const lossLitres = filler.setupLossLitres
      setUps.set(key, { filler, day, batch, kind: of.type.kind, runs: [run], minutes, lossLitres })
    }
  }
  for (const setUp of setUps.values()) {
    const drawn = setUp.runs.map(({ stay }) => stay)
    const stay = drawn.find((one) => one.in === 'FERMENTER') ?? drawn[0]
    stay?.setUps.push(setUp)
  }
  return [...setUps.values()]
}

/** Adds up what leaves each vessel of a batch (V9), and when it is empty (V3). */
function settle(batch: BatchFacts): void {
  for (const stay of batch.stays) {
    const losses = stay.setUps.reduce((sum, { lossLitres }) => sum + lossLitres, 0)
    const dumped = stay.dumps.reduce((sum, { litres }) => sum + litres, 0)
    const left = stay.litres - drawnLitres(stay.runs) - losses - dumped
    if (batch.transfer && stay.in === 'FERMENTER') {
      batch.transfer.leftLitres = left
      stay.leftLitres = left - batch.transfer.transfer.litres
      stay.emptiedOn = batch.transfer.day
      continue
    }
    stay.leftLitres = left
    if (left > LITRE_TOLERANCE) continue
    const lastDraw = [...stay.runs, ...stay.dumps].reduce((last, { day }) => Math.max(last, day), -Infinity)
    stay.emptiedOn = Math.max(lastDraw, stay.enters, 0)
  }
}
