// Problem → Model: the door of the search.
import { dayNumber, isoWeekday, type LocalDate, minuteOfDay } from '../calendar/days.ts'
import { firstServes, servedNotBefore } from '../documents/frozen-promises.ts'
import { DEFAULT_COSTS, type OrderLine, type Problem } from '../documents/problem.ts'
import {
  type AccountModel,
  type BeerModel,
  type FillerModel,
  fleetIndex,
  type LineModel,
  type LotModel,
  type Model,
  type PackModel,
  type RouteModel,
  type SiteModel,
  TERM,
  type VesselModel,
} from './model.ts'
import { dispatchOptions } from './options.ts'
import { LITRE, minutesNeeded, minutesOffered, units } from './units.ts'

const PRIORITY_WEIGHT = { 1: 4, 2: 2, 3: 1 } as const

/** Compiles a parsed problem. Every reference in it is trusted. */
export function compile(problem: Problem): Model {
  const today = dayNumber(problem.today)
  const horizon = problem.horizonDays
  const indexOf = {
    site: indexById(problem.sites),
    vessel: indexById(problem.vessels),
    beer: indexById(problem.beers),
    pack: indexById(problem.beers.flatMap((beer) => beer.packs)),
    filler: indexById(problem.fillers),
    route: indexById(problem.routes),
    account: indexById(problem.accounts),
    lot: indexById(problem.stock),
    line: new Map<string, number>(),
  }
  const typeIndex = indexById(problem.containerTypes)
  const at = (date: string) => dayNumber(date) - today
  const dayFlags = (weekdays: number[], closed: string[][]) => {
    const flags = new Uint8Array(horizon)
    for (let day = 0; day < horizon; day++) flags[day] = weekdays.includes(isoWeekday(today + day)) ? 1 : 0
    for (const date of closed.flat()) if (at(date) >= 0 && at(date) < horizon) flags[at(date)] = 0
    return flags
  }
  const site = (id: string) => indexOf.site.get(id)!

  const sites: SiteModel[] = problem.sites.map((each, index) => {
    const fillOn = dayFlags(each.fillWeekdays, [each.closedOn])
    const brewOn = dayFlags(each.brewWeekdays, [each.closedOn])
    const fillDays = [...fillOn.keys()].filter((day) => fillOn[day])
    const vesselsOf = (kind: string) =>
      [...problem.vessels.keys()].filter(
        (v) => site(problem.vessels[v].siteId) === index && problem.vessels[v].kind === kind,
      )
    return {
      id: each.id,
      brewOn,
      brewBy: latestBy(brewOn),
      fillBy: latestBy(fillOn),
      fillOn,
      brewsPerDay: each.brewsPerDay,
      transfersPerDay: each.transfersPerDay ?? Number.POSITIVE_INFINITY,
      brewLitres: each.brewLitres ?? Number.POSITIVE_INFINITY,
      firstFillDay: fillDays[0] ?? horizon,
      fermenters: vesselsOf('FERMENTER'),
      brights: vesselsOf('BRIGHT'),
      fillers: [...problem.fillers.keys()].filter((f) => site(problem.fillers[f].siteId) === index),
      fillDays,
    }
  })

  const vessels: VesselModel[] = problem.vessels.map((each) => ({
    id: each.id,
    site: site(each.siteId),
    bright: each.kind === 'BRIGHT',
    capacity: units(each.capacityLitres),
    minFill: units(each.minFillLitres),
    turnaround: each.turnaroundDays,
    availableFrom: each.availableFrom === undefined ? 0 : Math.max(0, at(each.availableFrom)),
    outOfService: each.outOfService.map((span) => ({ from: at(span.from), to: at(span.to) })),
  }))

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
      const type = typeIndex.get(pack.containerTypeId)!
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

  const fillers: FillerModel[] = problem.fillers.map((each) => {
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

  const routes: RouteModel[] = problem.routes.map((each) => ({
    id: each.id,
    site: site(each.siteId),
    runs: dayFlags(each.weekdays, [each.closedOn, problem.sites[site(each.siteId)].closedOn]),
    transit: each.transitDays,
    capacity: each.capacityLitres === undefined ? Number.POSITIVE_INFINITY : units(each.capacityLitres),
    cutOff: each.cutOff,
    timeZone: problem.sites[site(each.siteId)].timeZone,
  }))

  const accounts: AccountModel[] = problem.accounts.map((each) => ({
    id: each.id,
    routes: each.routeIds.map((id) => indexOf.route.get(id)!),
    receives: Uint8Array.from({ length: 8 }, (_, weekday) => (each.receivesWeekdays.includes(weekday) ? 1 : 0)),
    settle: each.settleDays ?? -1,
    minDaysOnSale: each.minDaysOnSale,
    maxEarlyDays: each.maxEarlyDays,
    returnDays: each.returnDays ?? -1,
  }))

  const lots: LotModel[] = problem.stock.map((each) => {
    const bestBefore = at(each.bestBefore)
    return {
      id: each.id,
      site: site(each.siteId),
      pack: indexOf.pack.get(each.packId)!,
      quantity: each.quantity,
      readyOn: at(each.readyOn),
      bestBefore,
      leaves: bestBefore >= horizon - 1 ? horizon : Math.max(0, bestBefore + 1),
    }
  })

  const rates = new Float64Array(11)
  for (const [term, index] of Object.entries(TERM)) {
    const rate = { ...DEFAULT_COSTS, ...problem.costs }[term as keyof typeof TERM]
    rates[index] = COUNTED.has(index) ? rate : rate / LITRE
  }

  const model: Model = {
    problem,
    horizon,
    today,
    frozenUntil: problem.baseline ? problem.frozenDays : 0,
    rates,
    sites,
    vessels,
    beers,
    packs,
    types: problem.containerTypes.map((type) => ({ id: type.id })),
    fillers,
    fleets: new Array(sites.length * problem.containerTypes.length).fill(undefined),
    stores: new Float64Array(sites.length * 2).fill(Number.POSITIVE_INFINITY),
    routes,
    accounts,
    lots,
    lotsByPack: packs.map((_, pack) =>
      [...lots.keys()].filter((lot) => lots[lot].pack === pack && lots[lot].quantity > 0),
    ),
    lines: [],
    indexOf,
  }

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
    const type = typeIndex.get(each.containerTypeId)!
    for (const lot of lots) {
      // S2: a lot that nobody takes is emptied the day after its best before.
      if (lot.site === site(each.siteId) && packs[lot.pack].type === type && lot.leaves < horizon) {
        add(lot.leaves + washDays, lot.quantity)
      }
    }
    model.fleets[fleetIndex(model, site(each.siteId), type)] = { clean, washDays }
  }
  const served = firstServes(model.frozenUntil > 0 ? (problem.baseline?.deliveries ?? []) : [])
  for (const line of problem.orderLines) addLine(model, line, servedNotBefore(problem, line, served.get(line.id)))
  return model
}

/**
 * Adds an order line to the model and returns it; its options are computed once, here. Absent `notBefore`, its serve day alone
 * says when it may first be served.
 */
export function addLine(model: Model, line: OrderLine, notBefore?: LocalDate): LineModel {
  const { problem, today, horizon } = model
  const at = (date: string) => dayNumber(date) - today
  const costs = { ...DEFAULT_COSTS, ...problem.costs }
  const pack = model.indexOf.pack.get(line.packId)!
  const account = model.indexOf.account.get(line.accountId)!
  const promised = line.promisedOn !== undefined
  const priority = line.priority
  const weight = promised ? 1 : PRIORITY_WEIGHT[priority]
  const settle = model.accounts[account].settle
  const compiled: LineModel = {
    index: model.lines.length,
    id: line.id,
    account,
    pack,
    beer: model.packs[pack].beer,
    quantity: line.quantity,
    serveOn: at(line.serveOn),
    notBefore: notBefore === undefined ? 0 : at(notBefore),
    latestServeOn: Math.min(horizon - 1, line.latestServeOn === undefined ? horizon - 1 : at(line.latestServeOn)),
    dueOn: at(line.promisedOn ?? line.serveOn),
    promised,
    splittable: line.splittable,
    placedAt: line.placedAt,
    settle: settle >= 0 ? settle : model.packs[pack].settle,
    priority,
    weight,
    unservedRate: ((promised ? costs.unservedPromised : costs.unserved) * weight) / LITRE,
    lateRate: ((promised ? costs.latePromised : costs.late) * weight) / LITRE,
    options: new Int32Array(0),
  }
  compiled.options = dispatchOptions(model, compiled)
  model.lines.push(compiled)
  model.indexOf.line.set(line.id, compiled.index)
  return compiled
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

function indexById(list: readonly { id: string }[]): Map<string, number> {
  return new Map(list.map((each, index) => [each.id, index]))
}
