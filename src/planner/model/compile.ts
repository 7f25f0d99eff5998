// Problem → Model: the door of the search.
import { dayNumber, type LocalDate } from '../calendar/days.ts'
import { firstServes, servedNotBefore } from '../documents/frozen-promises.ts'
import { DEFAULT_COSTS, type OrderLine, type Problem } from '../documents/problem.ts'
import {
  addStoresAndFleets,
  compileAccounts,
  compileBeers,
  compileFillers,
  compileLots,
  compileRates,
  compileRoutes,
  compileSites,
  compileVessels,
  type Names,
} from './compile-setup.ts'
import type { LineModel, Model } from './model.ts'
import { dispatchOptions } from './options.ts'
import { LITRE } from './units.ts'

const PRIORITY_WEIGHT = { 1: 4, 2: 2, 3: 1 } as const

/**
 * Compiles a parsed problem. Every reference in it is trusted. `like` is the model of the same problem with another baseline or
 * none: the options of its lines, which are most of the memory of a problem of many days and routes, are not kept twice.
 */
export function compile(problem: Problem, like?: Model): Model {
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
  const names: Names = {
    problem,
    today,
    horizon,
    indexOf,
    type: (id) => typeIndex.get(id)!,
    site: (id) => indexOf.site.get(id)!,
    at: (date) => dayNumber(date) - today,
  }
  const vessels = compileVessels(names)
  const sites = compileSites(names, vessels)
  const { beers, packs } = compileBeers(names)
  const lots = compileLots(names)
  const model: Model = {
    problem,
    horizon,
    today,
    frozenUntil: problem.baseline ? problem.frozenDays : 0,
    rates: compileRates(names),
    sites,
    vessels,
    beers,
    packs,
    types: problem.containerTypes.map((type) => ({ id: type.id })),
    fillers: compileFillers(names, sites),
    fleets: new Array(sites.length * problem.containerTypes.length).fill(undefined),
    stores: new Float64Array(sites.length * 2).fill(Number.POSITIVE_INFINITY),
    routes: compileRoutes(names),
    accounts: compileAccounts(names),
    lots,
    lotsByPack: packs.map((_, pack) =>
      [...lots.keys()].filter((lot) => lots[lot].pack === pack && lots[lot].quantity > 0),
    ),
    lines: [],
    indexOf,
  }

  addStoresAndFleets(model, names)
  const served = firstServes(model.frozenUntil > 0 ? (problem.baseline?.deliveries ?? []) : [])
  for (const [index, line] of problem.orderLines.entries()) {
    model.lines.push(compileLine(model, line, servedNotBefore(problem, line, served.get(line.id)), like?.lines[index]))
    indexOf.line.set(line.id, index)
  }
  return model
}

/**
 * An order line, compiled to stand after the model's lines; its options are computed once, here. Absent `notBefore`, its serve day
 * alone says when it may first be served. `like` is the same line in a model of the same set-up.
 */
export function compileLine(model: Model, line: OrderLine, notBefore?: LocalDate, like?: LineModel): LineModel {
  const { problem, today, horizon } = model
  const { costs } = problem
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
    serveOn: dayNumber(line.serveOn) - today,
    notBefore: notBefore === undefined ? 0 : dayNumber(notBefore) - today,
    latestServeOn:
      line.latestServeOn === undefined ? horizon - 1 : Math.min(horizon - 1, dayNumber(line.latestServeOn) - today),
    dueOn: dayNumber(line.promisedOn ?? line.serveOn) - today,
    promised,
    splittable: line.splittable,
    placedAt: line.placedAt,
    settle: settle >= 0 ? settle : model.packs[pack].settle,
    priority,
    weight,
    unservedRate: (rateOf(costs, promised ? 'unservedPromised' : 'unserved') * weight) / LITRE,
    lateRate: (rateOf(costs, promised ? 'latePromised' : 'late') * weight) / LITRE,
    options: new Uint16Array(0),
  }
  // All else that options depend on is of the set-up and of the line itself.
  compiled.options = like?.notBefore === compiled.notBefore ? like.options : dispatchOptions(model, compiled)
  return compiled
}

function rateOf(costs: Problem['costs'], term: keyof typeof DEFAULT_COSTS): number {
  return costs?.[term] ?? DEFAULT_COSTS[term]
}

function indexById(list: readonly { id: string }[]): Map<string, number> {
  return new Map(list.map((each, index) => [each.id, index]))
}
