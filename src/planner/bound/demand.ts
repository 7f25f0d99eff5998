// Order lines of the relaxation: lines that are alike in it are one demand (unless lines are to be whole), and ways to deliver that end in one bucket are
// one way, as cheap as the cheapest of them.
import type { Route } from '../documents/problem.ts'
import type { Buckets } from './buckets.ts'
import type { DispatchOption, Instance, LineFacts, PackFacts } from './instance.ts'

/** A way to deliver containers of a demand. */
export interface DeliveryWay {
  siteId: string
  /** The route and bucket of its dispatch. A way so late that it never pays has no route; its bucket is the first possible. */
  route?: Route
  bucket: number
  /** Least cost of a container: late, drop share, and standing as if it were fit to leave on day 0. */
  cost: number
  /** First day on which the container can be back (not washed yet); infinity where it never comes back. */
  backOn: number
  /** Last day up to which a container must keep at least: its serve day and the days on sale (B4). */
  keepsTo: number
}

/** Lines of one pack with the same ways to be delivered. */
export interface Demand {
  facts: PackFacts
  quantity: number
  /** Cost of a container that is not served. */
  unservedCost: number
  ways: DeliveryWay[]
  /** One line that is not to be split: delivered as a whole, in one way, or not at all (A3). */
  whole: boolean
}

/**
 * The demands of a problem. With buckets of one day, lines are only put together where nothing is lost but drop shares;
 * with `wholeLines`, each line stays by itself.
 */
export function readDemands(
  instance: Instance,
  buckets: Buckets,
  { sharing, wholeLines }: { sharing: (line: LineFacts, dispatchOn: number) => number; wholeLines: boolean },
): Demand[] {
  const demands = new Map<string, { demand: Demand; ways: Map<string, DeliveryWay> }>()
  for (const line of instance.lines) {
    const key = wholeLines ? line.line.id : demandKey(instance, buckets, line)
    let group = demands.get(key)
    if (!group) {
      const unservedCost = line.unservedRate * line.facts.nominal
      group = {
        demand: { facts: line.facts, quantity: 0, unservedCost, ways: [], whole: wholeLines && !line.line.splittable },
        ways: new Map(),
      }
      demands.set(key, group)
    }
    group.demand.quantity += line.line.quantity
    for (const option of line.options) {
      const way = wayOf(instance, buckets, { line, option, sharing: sharing(line, option.dispatchOn) })
      const wayKey = way.route ? `${way.route.id} ${way.bucket}` : way.siteId
      const known = group.ways.get(wayKey)
      if (!known) group.ways.set(wayKey, way)
      else {
        known.cost = Math.min(known.cost, way.cost)
        known.backOn = Math.min(known.backOn, way.backOn)
        known.keepsTo = Math.min(known.keepsTo, way.keepsTo)
        known.bucket = Math.min(known.bucket, way.bucket)
      }
    }
  }
  return [...demands.values()].map(({ demand, ways }) => ({ ...demand, ways: [...ways.values()] }))
}

/** For each account and dispatch day the number of lines that could share a drop there. */
export function linesSharingDrops(instance: Instance): (line: LineFacts, dispatchOn: number) => number {
  const counts = new Map<string, Int32Array>()
  for (const { account, options } of instance.lines) {
    let days = counts.get(account.id)
    if (!days) {
      days = new Int32Array(instance.horizon)
      counts.set(account.id, days)
    }
    for (const day of new Set(options.map((option) => option.dispatchOn))) days[day] = (days[day] ?? 0) + 1
  }
  return ({ account }, dispatchOn) => counts.get(account.id)?.[dispatchOn] ?? 1
}

function demandKey({ at, horizon }: Instance, { of, width }: Buckets, line: LineFacts): string {
  const { account, facts, unservedRate, lateRate, dueOn } = line
  const latest = line.line.latestServeOn === undefined ? horizon : at(line.line.latestServeOn)
  const coarse = [
    facts.pack.id,
    account.routeIds,
    account.returnDays,
    unservedRate,
    lateRate,
    Math.min(of(dueOn), of(horizon)),
    of(at(line.line.serveOn)),
    of(latest),
  ]
  const fine = [dueOn, account.settleDays, account.maxEarlyDays, account.receivesWeekdays, account.minDaysOnSale]
  return JSON.stringify(width === 1 ? [...coarse, ...fine] : coarse)
}

function wayOf(
  { costs }: Instance,
  { of }: Buckets,
  { line, option, sharing }: { line: LineFacts; option: DispatchOption; sharing: number },
): DeliveryWay {
  const { nominal } = line.facts
  const { route, siteId, dispatchOn, serveOn, lead, daysLate } = option
  const late = line.lateRate * daysLate
  const never = late > line.unservedRate + 2 * costs.dumped
  const drop = costs.drop / (sharing * line.line.quantity)
  return {
    siteId,
    ...(never ? {} : { route }),
    bucket: of(dispatchOn),
    cost: nominal * (late + costs.standing * (serveOn - lead)) + drop,
    backOn: serveOn + (line.account.returnDays ?? Number.POSITIVE_INFINITY),
    keepsTo: serveOn + line.minDaysOnSale,
  }
}
