// What each vessel does on every day under a plan: beer, cleaning, out of service or free.

import type { LocalDate, Vessel } from '../../planner/documents/index.ts'
import { type BatchFacts, type Facts, freeFrom, isOutOfService, type Stay, staysByVessel } from '../../planner/index.ts'

/** `BATCH`: beer that exists; `BREW`: beer that the plan brews; the others: the vessel is empty. */
export type VesselSpanKind = 'BATCH' | 'BREW' | 'CLEANING' | 'OUT_OF_SERVICE' | 'FREE'

/** Whole days on which a vessel does one thing; both days included. */
export interface VesselSpan {
  kind: VesselSpanKind
  from: LocalDate
  to: LocalDate
  /** Set where there is beer in it. */
  beer: BeerInVessel | undefined
}

/** The stay of a batch in a vessel. */
export interface BeerInVessel {
  /** Of a batch that exists, or of the planned brew that it is now. */
  batchId: string
  isPlanned: boolean
  beerId: string
  /** The first day on which containers may be filled from this vessel (T1, V4). */
  readyOn: LocalDate
  /** The day on which it is emptied; undefined where beer is in it to the end of the horizon. */
  emptiedOn: LocalDate | undefined
  /** Drawable litres that come into it (V2). */
  litres: number
}

export interface VesselTimeline {
  vesselId: string
  /** In order of day; together they are every day of the horizon, each once. */
  spans: VesselSpan[]
}

/**
 * V3: the timeline of every vessel, in the order of the problem. Where the records have moved on and two batches would
 * be in one vessel on one day, the day belongs to the one that came first.
 */
export function vesselTimelines(facts: Facts): VesselTimeline[] {
  const stays = staysByVessel(facts.batches)
  return facts.problem.vessels.map((vessel) => ({
    vesselId: vessel.id,
    spans: spansOf(facts, vessel, stays.get(vessel.id) ?? []),
  }))
}

function spansOf(facts: Facts, vessel: Vessel, stays: readonly Stay[]): VesselSpan[] {
  const spans: VesselSpan[] = []
  let current: Stay | undefined
  for (let day = 0; day < facts.horizon; day++) {
    const stay = stays.find((one) => one.enters <= day && day <= (one.emptiedOn ?? facts.horizon))
    const kind = stay ? kindOfBeer(stay.batch) : kindOfEmpty(facts, vessel, stays, day)
    const date = facts.dateOf(day)
    const last = spans.at(-1)
    if (last?.kind === kind && current === stay) last.to = date
    else spans.push({ kind, from: date, to: date, beer: stay && beerOf(facts, stay) })
    current = stay
  }
  return spans
}

function kindOfBeer(batch: BatchFacts): VesselSpanKind {
  return batch.brew ? 'BREW' : 'BATCH'
}

/** V3: out of service by its own dates; cleaned for `turnaroundDays` after the day on which a batch left it. */
function kindOfEmpty(facts: Facts, vessel: Vessel, stays: readonly Stay[], day: number): VesselSpanKind {
  if (isOutOfService(facts, vessel, day)) return 'OUT_OF_SERVICE'
  const isCleaned = stays.some((stay) => stay.emptiedOn !== undefined && stay.emptiedOn < day && day < freeFrom(stay))
  return isCleaned ? 'CLEANING' : 'FREE'
}

function beerOf(facts: Facts, stay: Stay): BeerInVessel {
  return {
    batchId: stay.batch.id,
    isPlanned: stay.batch.brew !== undefined,
    beerId: stay.batch.beer.id,
    readyOn: facts.dateOf(stay.firstFillDay),
    emptiedOn: stay.emptiedOn === undefined ? undefined : facts.dateOf(stay.emptiedOn),
    litres: stay.litres,
  }
}
