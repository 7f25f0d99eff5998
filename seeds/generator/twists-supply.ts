// Changes to a generated problem's sites, vessels, fillers, stores, batches and stock: each makes one situation certain.

import type { Batch, LocalDate, Problem, Vessel } from '../../src/planner/documents/index.ts'
import { addDays, dayNumber, instantAt, localDateOf, minuteOfDay } from '../../src/planner/documents/index.ts'
import { readyDay } from '../instants.ts'
import type { Random } from '../random.ts'
import { found, sum } from './demand.ts'

/** A change to a problem, drawn from a stream. */
export type Twist = (problem: Problem, random: Random) => Problem

/** Batches that stand in fermenters beyond ready day + `maxTankDays` (V5): one at least, where any stands. */
export const overdueBatches: Twist = (problem, random) =>
  changeSomeBatches(problem, random, inFermenter(problem), (batch) => {
    const { beer, site } = homeOf(problem, batch)
    const ready = dayNumber(problem.today) - beer.maxTankDays - random.int(1, 10)
    const { openedOn: _, ...rest } = batch
    return { ...rest, readyAt: instantAt(ready - 1, random.int(0, 1439), site.timeZone) }
  })

/** Batches kept back for quality (V8): one at least, where any stands. */
export const quarantinedBatches: Twist = (problem, random) =>
  changeSomeBatches(
    problem,
    random,
    () => true,
    (batch) => ({ ...batch, quarantined: true }),
  )

/** Lots kept back for quality (V8): one at least, where there is stock. */
export const quarantinedLots: Twist = (problem, random) => {
  if (problem.stock.length === 0) return problem
  const certain = random.pick(problem.stock)
  const stock = problem.stock.map((lot) => ({ ...lot, quarantined: lot === certain || random.chance(0.4) }))
  return { ...problem, stock }
}

/** Batches that were fined and can no longer be primed (V7), of beers with primed packs where there are any. */
export const unprimableBatches: Twist = (problem, random) => {
  const primed = new Set(problem.beers.filter((beer) => beer.packs.some((pack) => pack.primed)).map((beer) => beer.id))
  const candidates = problem.batches.some((batch) => primed.has(batch.beerId)) ? primed : undefined
  return changeSomeBatches(
    problem,
    random,
    (batch) => candidates?.has(batch.beerId) ?? true,
    (batch) => ({
      ...batch,
      primable: false,
    }),
  )
}

/** Beers that must be drawn within a few days once opened (V10), and ready batches that are open already. */
export const openedBatches: Twist = (problem, random) => {
  const beers = problem.beers.map((beer) => ({ ...beer, maxOpenDays: random.int(1, 5) }))
  return changeSomeBatches(
    { ...problem, beers },
    random,
    () => true,
    (batch) => {
      const { site } = homeOf(problem, batch)
      const openedOn = addDays(problem.today, -random.int(0, 2))
      const readyAt = instantAt(dayNumber(openedOn) - random.int(1, 2), 6 * 60, site.timeZone)
      const ready = localDateOf(readyDay(site, readyAt))
      return { ...batch, readyAt, openedOn, ...(batch.transferredOn === undefined ? {} : { transferredOn: ready }) }
    },
  )
}

/** Vessels out of service for a while, or not there yet; one that holds beer today may be among them (V3). */
export const vesselsOut: Twist = (problem, random) => {
  const certain = random.pick(problem.vessels).id
  const vessels = problem.vessels.map((vessel): Vessel => {
    if (vessel.id !== certain && !random.chance(0.3)) return vessel
    const holds = problem.batches.some((batch) => batch.vesselId === vessel.id)
    const from = addDays(problem.today, random.int(-3, Math.floor(problem.horizonDays / 2)))
    const outOfService = [{ from, to: addDays(from, random.int(0, 7)) }]
    if (random.chance(0.2)) outOfService.push({ from: addDays(from, 10), to: addDays(from, 10 + random.int(0, 3)) })
    if (!holds && random.chance(0.3)) return { ...vessel, availableFrom: addDays(problem.today, random.int(1, 9)) }
    return { ...vessel, outOfService }
  })
  return { ...problem, vessels }
}

/**
 * Every site starts one transfer a day at most, some none (V11), and has each bright vessel twice, so that two transfers
 * could want one day.
 */
export const transferLimits: Twist = (problem, random) => {
  const twinOf = (vessel: Vessel) => (vessel.kind === 'BRIGHT' ? [{ ...vessel, id: `${vessel.id}-twin` }] : [])
  const twins = problem.vessels.flatMap(twinOf)
  return {
    ...problem,
    sites: problem.sites.map((site) => ({ ...site, transfersPerDay: random.chance(0.3) ? 0 : 1 })),
    vessels: [...problem.vessels, ...twins],
    beers: problem.beers.map((beer) =>
      beer.vesselIds ? { ...beer, vesselIds: [...beer.vesselIds, ...twins.map(({ id }) => id)] } : beer,
    ),
  }
}

/** Stock past its best before, on its last day, and some that ends within the horizon (S2). */
export const staleStock: Twist = (problem, random) => {
  const pack = random.pick(problem.beers.flatMap((beer) => beer.packs))
  const siteId = random.pick(problem.sites).id
  const ends = [-random.int(1, 5), 0, random.int(1, Math.max(1, problem.horizonDays - 1)), problem.horizonDays - 1]
  const stale = ends.map((offset, index) => {
    const bestBefore = addDays(problem.today, offset)
    const filledOn = addDays(problem.today, Math.min(-1, offset - random.int(20, 40)))
    const readyOn = addDays(filledOn, Math.min(pack.conditioningDays, dayNumber(bestBefore) - dayNumber(filledOn)))
    return {
      id: `old-lot-${index + 1}`,
      siteId,
      packId: pack.id,
      quantity: random.int(1, 6),
      filledOn,
      readyOn,
      bestBefore,
      quarantined: false,
    }
  })
  return { ...problem, stock: [...problem.stock, ...stale] }
}

/** Stores that the stock of today alone overfills, for some days (S1). */
export const overfullStores: Twist = (problem, random) => {
  const siteId = problem.sites[0]!.id
  const packs = problem.beers.flatMap((beer) => beer.packs)
  const nominal = new Map(problem.containerTypes.map((type) => [type.id, type.nominalLitres]))
  const litresOf = new Map(packs.map((pack) => [pack.id, nominal.get(pack.containerTypeId) ?? 0]))
  const pack = random.pick(packs)
  const extra = {
    id: 'overfull-lot',
    siteId,
    packId: pack.id,
    quantity: random.int(4, 12),
    filledOn: addDays(problem.today, -pack.conditioningDays - 1),
    readyOn: addDays(problem.today, -1),
    bestBefore: addDays(problem.today, random.int(2, Math.min(problem.horizonDays - 1, 20))),
    quarantined: false,
  }
  const stock = [...problem.stock, extra]
  const ready = stock.filter(
    (lot) => lot.siteId === siteId && lot.readyOn <= problem.today && lot.bestBefore >= problem.today,
  )
  const litres = sum(ready, (lot) => lot.quantity * found(litresOf, lot.packId))
  const capacityLitres = Math.floor(litres * random.between(0.6, 0.95))
  const others = problem.stores.filter((store) => store.siteId !== siteId || store.climate !== 'COLD')
  return { ...problem, stock, stores: [...others, { siteId, climate: 'COLD', capacityLitres }] }
}

/** Fillers with exceptional days, set-up losses and set-up minutes by beer, not naming one of the beers (L1). */
export const fillerExceptions: Twist = (problem, random) => ({
  ...problem,
  fillers: problem.fillers.map((filler) => {
    const minutesOn: Record<LocalDate, number> = {}
    for (let count = random.int(1, 4); count > 0; count--) {
      const day = addDays(problem.today, random.int(0, problem.horizonDays - 1))
      minutesOn[day] = Math.round(filler.minutesPerDay * random.pick([0, 0.5, 1.5, 2]))
    }
    const named = problem.beers.length > 1 ? problem.beers.slice(1) : problem.beers
    const setupMinutes = random.chance(0.6)
      ? Object.fromEntries(named.map((beer) => [beer.id, random.pick([5, 10, 20, 25])]))
      : filler.setupMinutes
    return { ...filler, minutesOn, setupMinutes, setupLossLitres: random.int(1, 8) }
  }),
})

/**
 * Every beer but the first a wash group of its own, fillers that are washed between them for nearly all of a day (L4), and
 * one fill day a week, so that several groups want the same day.
 */
export const washGroups: Twist = (problem, random) => ({
  ...problem,
  sites: problem.sites.map((site) => ({ ...site, fillWeekdays: site.fillWeekdays.slice(0, 1) })),
  beers: problem.beers.map((beer, index) => (index > 0 ? { ...beer, washGroup: `group-${index}` } : beer)),
  fillers: problem.fillers.map((filler) => ({
    ...filler,
    washMinutes: Math.round(filler.minutesPerDay * random.between(0.9, 1)),
  })),
})

/** Days on which a site or a route does not work (T2). */
export const closedDays: Twist = (problem, random) => {
  const some = () => {
    const offsets = Array.from({ length: random.int(1, 4) }, () => random.int(0, problem.horizonDays - 1))
    return [...new Set(offsets)].sort((a, b) => a - b).map((offset) => addDays(problem.today, offset))
  }
  return {
    ...problem,
    sites: problem.sites.map((site) => ({ ...site, closedOn: some() })),
    routes: problem.routes.map((route) => (random.chance(0.6) ? { ...route, closedOn: some() } : route)),
  }
}

/**
 * Days on which only so much is left to brew, transfer, fill and dispatch, today and about every other day (V1, V11, L1, D1); on
 * some there are no fills and no transfers at all (T2).
 */
export const dayLimits: Twist = (problem, random) => {
  const days = () =>
    Array.from({ length: problem.horizonDays }, (_, offset) => addDays(problem.today, offset)).filter(
      (day) => day === problem.today || random.chance(0.4),
    )
  const limits = (most: number, shares: readonly number[]): Record<LocalDate, number> =>
    Object.fromEntries(days().map((day) => [day, Math.floor(most * random.pick(shares))]))
  return {
    ...problem,
    sites: problem.sites.map((site) => ({
      ...site,
      noFillsOn: days().filter(() => random.chance(0.2)),
      brewsOn: limits(site.brewsPerDay, [0, 0, 0.5, 1.5]),
      transfersOn: limits(2, [0, 0, 0.5, 1]),
    })),
    fillers: problem.fillers.map((filler) => ({ ...filler, minutesOn: limits(filler.minutesPerDay, [0, 0.4, 0.7]) })),
    routes: problem.routes.map((route) => ({ ...route, capacityLitresOn: limits(1000, [0, 0.1, 0.3]) })),
  }
}

/**
 * Stages that end on the minute at which filling starts, so that an hour more or less would move the ready day (T1):
 * whole days from `brewEnds` to `fillStarts`, batches ready at that minute, or a minute after it.
 */
export const readyOnTheMinute: Twist = (problem, random) => {
  const sites = problem.sites.map((site) => ({ ...site, brewEnds: site.fillStarts }))
  const beers = problem.beers.map((beer) => ({
    ...beer,
    fermentHours: Math.max(24, Math.round(beer.fermentHours / 24) * 24),
  }))
  const batches = problem.batches.map((batch) => {
    const { site } = homeOf(problem, batch)
    const late = random.chance(0.5) ? 1 : 0
    const day = readyDay(site, batch.readyAt) - late
    return { ...batch, readyAt: instantAt(day, minuteOfDay(site.fillStarts) + late, site.timeZone) }
  })
  return { ...problem, sites, beers, batches }
}

/** Some costs of the problem's own (section 8). */
export const ownCosts: Twist = (problem, random) => ({
  ...problem,
  costs: {
    brew: random.int(0, 300),
    setup: random.int(0, 40),
    drop: random.int(0, 20),
    dumped: random.int(1, 10),
    standing: random.between(0, 0.1),
  },
})

function changeSomeBatches(
  problem: Problem,
  random: Random,
  may: (batch: Batch) => boolean,
  change: (batch: Batch) => Batch,
): Problem {
  const candidates = problem.batches.filter(may)
  if (candidates.length === 0) return problem
  const certain = random.pick(candidates)
  const batches = problem.batches.map((batch) =>
    batch === certain || (may(batch) && random.chance(0.25)) ? change(batch) : batch,
  )
  return { ...problem, batches }
}

function inFermenter(problem: Problem): (batch: Batch) => boolean {
  const kinds = new Map(problem.vessels.map((vessel) => [vessel.id, vessel.kind]))
  return (batch) => kinds.get(batch.vesselId) === 'FERMENTER'
}

function homeOf(problem: Problem, batch: Batch) {
  const vessel = problem.vessels.find((other) => other.id === batch.vesselId)
  const site = problem.sites.find((other) => other.id === vessel?.siteId)
  const beer = problem.beers.find((other) => other.id === batch.beerId)
  if (!site || !beer) throw new Error(`batch ${batch.id} has no site or no beer`)
  return { site, beer }
}
