// The set-up of a problem, compiled: every thing by its index, days after today, litres and minutes in whole units.
import { isoWeekday, type LocalDate, minuteOfDay } from '../calendar/days.ts'
import { DEFAULT_COSTS, type Problem } from '../documents/problem.ts'
import {
  type AccountModel,
  type BeerModel,
  type FillerModel,
  fleetIndex,
  type LotModel,
  type Model,
  type PackModel,
  type RouteModel,
  type SiteModel,
  TERM,
  type VesselModel,
} from './model.ts'
import { LITRE, minutesNeeded, minutesOffered, units } from './units.ts'
import { byLeastFill } from './vessels.ts'

/** What names and dates of a problem become: its ids as indexes, its days after today, and flags by day. */
export interface Names {
  problem: Problem
  today: number
  horizon: number
  indexOf: Model['indexOf']
  /** Index of a container type. */
  type: (id: string) => number
  /** Index of a site. */
  site: (id: string) => number
  /** Days after today. */
  at: (date: LocalDate) => number
}

/** For each day of the horizon: 1 on one of the weekdays that is not closed, else 0. */
function dayFlags({ today, horizon, at }: Names, weekdays: number[], closed: string[][]): Uint8Array {
  const flags = new Uint8Array(horizon)
  for (let day = 0; day < horizon; day++) flags[day] = weekdays.includes(isoWeekday(today + day)) ? 1 : 0
  for (const date of closed.flat()) if (at(date) >= 0 && at(date) < horizon) flags[at(date)] = 0
  return flags
}

/** For each day of the horizon the limit that is its own, -1 where it has none. */
function dayLimits({ horizon, at }: Names, limits: Readonly<Record<LocalDate, number>>): Float64Array {
  const only = new Float64Array(horizon).fill(-1)
  for (const [date, limit] of Object.entries(limits)) if (at(date) >= 0 && at(date) < horizon) only[at(date)] = limit
  return only
}

/** Sites, with the days on which they brew and fill. */
export function compileSites(names: Names, vessels: readonly VesselModel[]): SiteModel[] {
  const { problem, horizon, site } = names
  return problem.sites.map((each, index) => {
    const fillOn = dayFlags(names, each.fillWeekdays, [each.closedOn, each.noFillsOn])
    const brewOn = dayFlags(names, each.brewWeekdays, [each.closedOn])
    const fillDays = [...fillOn.keys()].filter((day) => fillOn[day])
    const vesselsOf = (kind: string) =>
      [...problem.vessels.keys()].filter(
        (v) => site(problem.vessels[v].siteId) === index && problem.vessels[v].kind === kind,
      )
    const fermenters = vesselsOf('FERMENTER')
    return {
      id: each.id,
      brewOn,
      brewBy: latestBy(brewOn),
      fillBy: latestBy(fillOn),
      fillOn,
      brewsPerDay: each.brewsPerDay,
      brewsOnly: dayLimits(names, each.brewsOn),
      transfersPerDay: each.transfersPerDay ?? Number.POSITIVE_INFINITY,
      transfersOnly: dayLimits(names, each.transfersOn),
      brewLitres: each.brewLitres ?? Number.POSITIVE_INFINITY,
      firstFillDay: fillDays[0] ?? horizon,
      fermenters,
      brights: vesselsOf('BRIGHT'),
      brewOrder: byLeastFill(vessels, fermenters),
      fillers: [...problem.fillers.keys()].filter((f) => site(problem.fillers[f].siteId) === index),
      fillDays,
    }
  })
}

/** Vessels, with the spans in which they are out of service. */
export function compileVessels(names: Names): VesselModel[] {
  const { problem, at, site } = names
  return problem.vessels.map((each) => ({
    id: each.id,
    site: site(each.siteId),
    bright: each.kind === 'BRIGHT',
    capacity: units(each.capacityLitres),
    minFill: units(each.minFillLitres),
    turnaround: each.turnaroundDays,
    availableFrom: each.availableFrom === undefined ? 0 : Math.max(0, at(each.availableFrom)),
    outOfService: each.outOfService.map((span) => ({ from: at(span.from), to: at(span.to) })),
  }))
}

/** Beers and their packs. */
export function compileBeers({ problem, type: typeOf }: Names): { beers: BeerModel[]; packs: PackModel[] } {
  const washGroups = [...new Set(problem.beers.map(({ washGroup }) => washGroup))]
  const packs: PackModel[] = []
  const beers: BeerModel[] = problem.beers.map((each, index) => ({
    id: each.id,
    readyAfter: problem.sites.map((s) => readyAfter(each, s)),
    maxTankDays: each.maxTankDays,
    brightDays: each.brightDays,
    maxBrightDays: each.maxBrightDays,
    maxOpenDays: each.maxOpenDays ?? Number.POSITIVE_INFINITY,
    loss: each.lossFraction,
    setupWeight: Math.round(each.setupWeight * LITRE),
    washGroup: washGroups.indexOf(each.washGroup),
    allowed: Uint8Array.from(problem.vessels, (v) => (!each.vesselIds || each.vesselIds.includes(v.id) ? 1 : 0)),
    packs: each.packs.map((pack) => {
      const type = typeOf(pack.containerTypeId)
      const container = problem.containerTypes[type]
      packs.push({
        id: pack.id,
        beer: index,
        type,
        kind: container.kind === 'CASK' ? 0 : 1,
        bright: pack.drawFrom === 'BRIGHT',
        conditioning: pack.conditioningDays,
        warm: pack.conditionIn === 'WARM',
        settle: pack.settleDays,
        shelf: pack.shelfLifeDays,
        primingWindow: pack.primed ? (pack.primingWindowDays ?? Number.POSITIVE_INFINITY) : -1,
        nominal: units(container.nominalLitres),
        draw: units(container.nominalLitres * (1 + container.overfillFraction)),
      })
      return packs.length - 1
    }),
  }))
  return { beers, packs }
}

/** Fillers, with the minutes that they work by day. */
export function compileFillers(names: Names, sites: readonly SiteModel[]): FillerModel[] {
  const { problem, horizon, at, site } = names
  return problem.fillers.map((each) => {
    const { fillOn } = sites[site(each.siteId)]
    const minutes = new Float64Array(horizon)
    for (let day = 0; day < horizon; day++) if (fillOn[day]) minutes[day] = minutesOffered(each.minutesPerDay)
    for (const [date, exception] of Object.entries(each.minutesOn)) {
      if (fillOn[at(date)]) minutes[at(date)] = minutesOffered(exception)
    }
    const setup = each.setupMinutes
    return {
      id: each.id,
      site: site(each.siteId),
      minutes,
      setupMinutes: problem.beers.map((beer) =>
        minutesNeeded(typeof setup === 'number' ? setup : (setup[beer.id] ?? 0)),
      ),
      washMinutes: minutesNeeded(each.washMinutes),
      setupLoss: units(each.setupLossLitres),
      each: problem.containerTypes.map((type) => {
        const minutesEach = each.minutesEach[type.id]
        return minutesEach === undefined ? Number.POSITIVE_INFINITY : minutesNeeded(minutesEach)
      }),
    }
  })
}

/** Routes, with the days on which they leave. */
export function compileRoutes(names: Names): RouteModel[] {
  const { problem, site } = names
  return problem.routes.map((each) => ({
    id: each.id,
    site: site(each.siteId),
    runs: dayFlags(names, each.weekdays, [each.closedOn, problem.sites[site(each.siteId)].closedOn]),
    transit: each.transitDays,
    capacity: each.capacityLitres === undefined ? Number.POSITIVE_INFINITY : units(each.capacityLitres),
    capacityOnly: dayLimits(names, each.capacityLitresOn).map((litres) => (litres < 0 ? litres : units(litres))),
    cutOff: each.cutOff,
    timeZone: problem.sites[site(each.siteId)].timeZone,
  }))
}

/** Accounts, with the weekdays on which they receive. */
export function compileAccounts(names: Names): AccountModel[] {
  const { problem, indexOf } = names
  return problem.accounts.map((each) => ({
    id: each.id,
    routes: each.routeIds.map((id) => indexOf.route.get(id)!),
    receives: Uint8Array.from({ length: 8 }, (_, weekday) => (each.receivesWeekdays.includes(weekday) ? 1 : 0)),
    settle: each.settleDays ?? -1,
    minDaysOnSale: each.minDaysOnSale,
    maxEarlyDays: each.maxEarlyDays,
    returnDays: each.returnDays ?? -1,
  }))
}

/** Lots of filled containers that stand at a site today. */
export function compileLots(names: Names): LotModel[] {
  const { problem, horizon, at, site, indexOf } = names
  return problem.stock.map((each) => {
    const bestBefore = at(each.bestBefore)
    return {
      id: each.id,
      site: site(each.siteId),
      pack: indexOf.pack.get(each.packId)!,
      quantity: each.quantity,
      readyOn: at(each.readyOn),
      bestBefore,
      leaves: bestBefore >= horizon - 1 ? horizon : Math.max(0, bestBefore + 1),
      quarantined: each.quarantined,
    }
  })
}

/** Prices of the cost terms for the units of the model. */
export function compileRates({ problem }: Names): Float64Array {
  const rates = new Float64Array(11)
  for (const [term, index] of Object.entries(TERM)) {
    const rate = { ...DEFAULT_COSTS, ...problem.costs }[term as keyof typeof TERM]
    rates[index] = COUNTED.has(index) ? rate : rate / LITRE
  }
  return rates
}

/** Room in the stores, and the clean containers of each fleet by day (C1, S1). */
export function addStoresAndFleets(model: Model, { problem, horizon, at, site, type }: Names): void {
  const { lots, packs } = model
  for (const each of problem.stores) {
    model.stores[site(each.siteId) * 2 + (each.climate === 'WARM' ? 1 : 0)] = units(each.capacityLitres)
  }
  for (const each of problem.fleets) {
    const washDays = each.washDays
    const clean = new Float64Array(horizon).fill(each.cleanNow)
    const add = (day: number, quantity: number) => {
      // C1: what would be clean by today is in cleanNow already.
      if (day >= 1) for (let d = day; d < horizon; d++) clean[d] += quantity
    }
    for (const back of each.returns) add(at(back.on) + washDays, back.quantity)
    const typeIndex = type(each.containerTypeId)
    for (const lot of lots) {
      // S2: a lot that no line takes is emptied the day after its best before.
      if (lot.site === site(each.siteId) && packs[lot.pack].type === typeIndex && lot.leaves < horizon) {
        add(lot.leaves + washDays, lot.quantity)
      }
    }
    model.fleets[fleetIndex(model, site(each.siteId), typeIndex)] = { clean, washDays }
  }
}

/** Terms that count things rather than litres; set-ups are counted in millionths like litres. */
const COUNTED: ReadonlySet<number> = new Set([TERM.brew, TERM.drop, TERM.churn])

/** Days from a brew day to the ready day (T1): stages are wall-clock hours, so the clocks' changes cancel out. */
function readyAfter(beer: Problem['beers'][number], site: Problem['sites'][number]): number {
  const hours = beer.fermentHours + beer.restHours + beer.dryHopHours + beer.crashHours
  const end = minuteOfDay(site.brewEnds) + hours * 60
  return Math.max(0, Math.ceil((end - minuteOfDay(site.fillStarts)) / 1440 - 1e-9))
}

/** By day: the latest flagged day up to it; −1 before the first. */
function latestBy(flags: Uint8Array): Int32Array {
  let last = -1
  return Int32Array.from(flags, (flag, day) => {
    if (flag) last = day
    return last
  })
}
