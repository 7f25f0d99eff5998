// Where beer can come from at a site: what stands there today and what could be brewed, with the least that a litre of it
// costs and the first days on which it can be drawn. Everything is as favourable as the rules allow.

import { mostBrews, mostMinutes } from '../documents/day-limits.ts'
import { minutesEach, setupMinutes } from '../documents/filling-minutes.ts'
import type { Batch, Beer, Filler, Pack, Vessel } from '../documents/problem.ts'
import { emptyBy, type Instance, type PackFacts, primedUntil, readyAfterBrew, readyDayOfBatch } from './instance.ts'

/** Litres that comparisons may forgive; a plan may have so much more beer than it says. */
export const TOLERANCE_LITRES = 0.001

/** Litres by which draws of one batch may exceed it: its fermenter, its transfer and its bright vessel each forgive some. */
export const BATCH_TOLERANCE_LITRES = 3 * TOLERANCE_LITRES

/** A batch of today that may be drawn within the horizon. */
export interface StandingBeer {
  batch: Batch
  beer: Beer
  siteId: string
  bright: boolean
  /** First day on which it may be drawn from the vessel that it is in now. */
  drawFrom: number
  ready: number
  /** Last day in the vessel that it is in now (V5). */
  emptyBy: number
}

/** Days on which a pack may be filled, both included; none where the last is before the first. */
export interface FillWindow {
  first: number
  last: number
}

/** The days on which a pack could be filled from a standing batch (V4, V5, V7, V10). */
export function standingWindow(
  { batch, beer, bright, ...standing }: StandingBeer,
  at: Instance['at'],
  pack: Pack,
): FillWindow {
  if (pack.drawFrom === 'FERMENTER' && bright) return { first: 0, last: -1 }
  const primed = primedUntil(pack, { ready: standing.ready, primable: batch.primable })
  if (pack.drawFrom === 'BRIGHT' && !bright) {
    const last = standing.emptyBy + beer.brightDays + beer.maxBrightDays
    return { first: standing.drawFrom + beer.brightDays, last: Math.min(last, primed) }
  }
  const opened = batch.openedOn === undefined ? Number.POSITIVE_INFINITY : at(batch.openedOn)
  const open = opened + (beer.maxOpenDays ?? Number.POSITIVE_INFINITY)
  return { first: standing.drawFrom, last: Math.min(standing.emptyBy, open, primed) }
}

/** The days on which a pack could be filled from brews that are ready between two days (V4, V5, V7). */
export function brewWindow(beer: Beer, pack: Pack, { from, to }: { from: number; to: number }): FillWindow {
  const bright = pack.drawFrom === 'BRIGHT'
  const last = to + beer.maxTankDays + (bright ? beer.brightDays + beer.maxBrightDays : 0)
  const primed = primedUntil(pack, { ready: to, primable: true })
  return { first: from + (bright ? beer.brightDays : 0), last: Math.min(last, primed) }
}

/** A beer that could be brewed at a site. */
export interface Brewable {
  siteId: string
  beer: Beer
  fermenters: Vessel[]
  /** The same with the first day on which each can be brewed into. */
  free: { vessel: Vessel; brewOn: number }[]
  readyAfter: number
  /** First day on which its packs could be drawn from a fermenter. */
  ready: number
  /** Most drawable litres of one batch. */
  mostDrawable: number
  /** Least cost of brewing a drawable litre. */
  brewCostPerLitre: number
}

export interface Supply {
  standing: StandingBeer[]
  brewable: Brewable[]
  /** Least cost of a litre of beer that is there and not delivered. */
  lossPerLitre: number
  /** Cost, whatever the plan, of batches that can never be drawn. */
  lostForCertain: number
}

/** All beer of a problem. */
export function readSupply(instance: Instance): Supply {
  const { problem, horizon, costs } = instance
  const loss = Math.min(costs.dumped, costs.unsold)
  const supply: Supply = { standing: [], brewable: [], lossPerLitre: loss, lostForCertain: 0 }
  for (const batch of problem.batches) {
    const vessel = instance.vessel(batch.vesselId)
    const beer = instance.beers.get(batch.beerId)!
    const ready = readyDayOfBatch(instance, batch)
    const bright = batch.transferredOn !== undefined
    const first = batch.transferredOn === undefined ? ready : instance.at(batch.transferredOn) + beer.brightDays
    const drawFrom = Math.max(0, first)
    if (batch.quarantined || drawFrom >= horizon) supply.lostForCertain += loss * batch.litres
    else {
      const limit = emptyBy(instance, batch)
      supply.standing.push({ batch, beer, siteId: vessel.siteId, bright, drawFrom, ready, emptyBy: limit })
    }
  }
  for (const [siteId, { site, brewDays }] of instance.sites) {
    if (!brewDays.some((day) => mostBrews(site, instance.dateOf(day)) > 0)) continue
    for (const beer of problem.beers) {
      const readyAfter = readyAfterBrew(site, beer)
      const free = problem.vessels.flatMap((vessel) => {
        if (vessel.siteId !== siteId || vessel.kind !== 'FERMENTER') return []
        if (beer.vesselIds !== undefined && !beer.vesselIds.includes(vessel.id)) return []
        const brewOn = firstBrewDay(instance, vessel, readyAfter)
        return brewOn === undefined ? [] : [{ vessel, brewOn }]
      })
      if (free.length === 0) continue
      const fermenters = free.map(({ vessel }) => vessel)
      const ready = Math.min(...free.map(({ brewOn }) => brewOn)) + readyAfter
      const largest = Math.max(...fermenters.map((vessel) => vessel.capacityLitres)) + TOLERANCE_LITRES
      const mostDrawable = largest * (1 - beer.lossFraction)
      const brewed = Math.min(largest, (site.brewLitres ?? largest) + TOLERANCE_LITRES)
      const brewCostPerLitre = costs.brew / (brewed * (1 - beer.lossFraction))
      supply.brewable.push({ siteId, beer, free, fermenters, readyAfter, ready, mostDrawable, brewCostPerLitre })
    }
  }
  return supply
}

/**
 * The first day on which a vessel can be brewed into, where the beer is ready so many days later and can be drawn within
 * the horizon; what stands there today is emptied today at the earliest (V3).
 */
function firstBrewDay(instance: Instance, vessel: Vessel, readyAfter: number): number | undefined {
  const { brewDays, fillDays } = instance.site(vessel.siteId)
  const held = instance.problem.batches.some(({ vesselId }) => vesselId === vessel.id)
  const available = vessel.availableFrom === undefined ? 0 : instance.at(vessel.availableFrom)
  const from = Math.max(available, held ? vessel.turnaroundDays + 1 : 0)
  const out = vessel.outOfService.map((one) => ({ from: instance.at(one.from), to: instance.at(one.to) }))
  return brewDays.find((day) => {
    const drawn = fillDays.find((fillDay) => fillDay >= day + readyAfter)
    if (day < from || drawn === undefined) return false
    return !out.some((one) => one.from <= drawn && day <= one.to)
  })
}

/** Most that the overfill of any pack of the beer takes, as a factor: a litre that fills stock may count so much less. */
export function largestOverfill(instance: Instance, beer: Beer): number {
  return Math.max(1, ...beer.packs.map((pack) => 1 + instance.pack(pack.id).type.overfillFraction))
}

/** A filler with the least that its set-ups add to a litre of a pack. */
export interface FillingCost {
  filler: Filler
  minutesEach: number
  /** Least share of a set-up for one container. */
  share: number
  /** A whole set-up: its cost, its minutes, and the litres lost of the batch, which are not in the cost. */
  setupCost: number
  setupMinutes: number
  setupLitres: number
}

/**
 * What filling one container of a pack takes on each filler of a site that can fill it, where one batch gives at most
 * `mostDrawable` litres. A set-up serves one batch, kind and day (L1), so that each container bears its share of the
 * largest run. All packs of a beer share by the same measure, litres or minutes: else a mixed run would bear too much.
 */
export function fillingCosts(
  instance: Instance,
  siteId: string,
  facts: PackFacts,
  mostDrawable: number,
): FillingCost[] {
  const { problem, costs } = instance
  const { fillDays } = instance.site(siteId)
  return problem.fillers.flatMap((filler) => {
    const perContainer = minutesEach(filler, facts.type.id)
    if (filler.siteId !== siteId || perContainer === undefined) return []
    const longest = Math.max(0, ...fillDays.map((day) => mostMinutes(filler, instance.dateOf(day))))
    const setup = setupMinutes(filler, facts.beer.id)
    const time = longest - setup
    if (perContainer > time + 1e-6) return []
    const litres = mostDrawable + TOLERANCE_LITRES
    const byMinutes = facts.beer.packs.every((pack) => {
      const { drawn, type } = instance.pack(pack.id)
      const minutes = minutesEach(filler, type.id)
      return minutes === undefined || minutes * litres >= drawn * time
    })
    const share = byMinutes && time > 0 ? perContainer / time : facts.drawn / Math.max(litres, facts.drawn)
    const loss = filler.setupLossLitres
    const setupCost = costs.setup * facts.beer.setupWeight
    return [{ filler, minutesEach: perContainer, share, setupCost, setupMinutes: setup, setupLitres: loss }]
  })
}

/** One beer at one site, with all that can give it. */
export interface BeerPool {
  siteId: string
  beer: Beer
  standing: StandingBeer[]
  brewable: Brewable | undefined
  /** Most drawable litres of one batch. */
  mostDrawable: number
}

/** The beers of each site that stand there or can be brewed there. */
export function readPools(instance: Instance, supply: Supply): BeerPool[] {
  const pools: BeerPool[] = []
  for (const siteId of instance.sites.keys())
    for (const beer of instance.problem.beers) {
      const standing = supply.standing.filter((one) => one.siteId === siteId && one.beer === beer)
      const brewable = supply.brewable.find((one) => one.siteId === siteId && one.beer === beer)
      const mostDrawable = Math.max(brewable?.mostDrawable ?? 0, ...standing.map(({ batch }) => batch.litres))
      if (brewable || standing.length > 0) pools.push({ siteId, beer, standing, brewable, mostDrawable })
    }
  return pools
}
