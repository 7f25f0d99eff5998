// Limits lifted in the problem document, rule by rule, for one order line: written from the page of the rules, apart from
// how the planner lifts them in its state.
import type { Batch, Beer, OrderLine, Problem, Vessel } from '../../../src/planner/documents/problem.ts'
import type { ReasonRule } from '../../../src/planner/documents/rule-numbers.ts'

/** More of anything than a plan can use. */
const PLENTY = 1e9

/** What of the problem a line can be served by. */
interface Scope {
  line: OrderLine
  beer: Beer
  containerTypeId: string
  sites: ReadonlySet<string>
  routes: ReadonlySet<string>
}

type Lift = (problem: Problem, scope: Scope) => Problem

const LIFTS: Partial<Record<ReasonRule, Lift>> = {
  F1: ({ baseline: _, ...problem }) => ({ ...problem, frozenDays: 0 }),
  T1: readyAtOnce,
  V1: (problem, { sites }) => ({
    ...problem,
    sites: changed(problem.sites, ({ id }) => sites.has(id), { brewsPerDay: PLENTY, brewsOn: {} }),
  }),
  V3: anotherVessel,
  V7: (problem, { beer }) => ({
    ...problem,
    beers: changed(problem.beers, ({ id }) => id === beer.id, {
      packs: beer.packs.map(({ primingWindowDays: _, ...pack }) => pack),
    }),
    batches: changed(problem.batches, ({ beerId }) => beerId === beer.id, { primable: true }),
  }),
  V8: (problem, { beer, line }) => ({
    ...problem,
    batches: changed(problem.batches, ({ beerId }) => beerId === beer.id, { quarantined: false }),
    stock: changed(problem.stock, ({ packId }) => packId === line.packId, { quarantined: false }),
  }),
  V11: (problem, { sites }) => ({
    ...problem,
    sites: changed(problem.sites, ({ id }) => sites.has(id), { transfersPerDay: undefined, transfersOn: {} }),
  }),
  L1: (problem, { sites }) => ({
    ...problem,
    fillers: changed(problem.fillers, ({ siteId }) => sites.has(siteId), { minutesPerDay: PLENTY, minutesOn: {} }),
  }),
  L4: (problem, { sites }) => ({
    ...problem,
    fillers: changed(problem.fillers, ({ siteId }) => sites.has(siteId), { washMinutes: 0 }),
  }),
  C1: (problem, { sites, containerTypeId }) => ({
    ...problem,
    fleets: problem.fleets.filter((each) => !(sites.has(each.siteId) && each.containerTypeId === containerTypeId)),
  }),
  S1: (problem, { sites }) => ({ ...problem, stores: problem.stores.filter(({ siteId }) => !sites.has(siteId)) }),
  D1: (problem, { routes }) => ({
    ...problem,
    routes: changed(problem.routes, ({ id }) => routes.has(id), {
      capacityLitres: undefined,
      capacityLitresOn: {},
    }),
  }),
  B6: (problem, { routes }) => ({
    ...problem,
    routes: changed(problem.routes, ({ id }) => routes.has(id), { cutOff: undefined }),
  }),
}

/** Rules whose limits can be lifted. */
export const LIFTABLE: ReadonlySet<string> = new Set(Object.keys(LIFTS))

/** The problem with the limits of some rules lifted for an order line. */
export function liftedProblem(problem: Problem, lineId: string, rules: readonly ReasonRule[]): Problem {
  const scope = scopeOf(problem, lineId)
  return rules.reduce((lifted, rule) => {
    const lift = LIFTS[rule]
    if (!lift) throw new Error(`${rule} is no limit that can be lifted`)
    return lift(lifted, scope)
  }, problem)
}

function scopeOf(problem: Problem, lineId: string): Scope {
  const line = problem.orderLines.find(({ id }) => id === lineId)
  const beer = problem.beers.find(({ packs }) => packs.some(({ id }) => id === line?.packId))
  const pack = beer?.packs.find(({ id }) => id === line?.packId)
  const account = problem.accounts.find(({ id }) => id === line?.accountId)
  if (!line || !beer || !pack || !account) throw new Error(`no line ${lineId}, or it names what is not there`)
  const routes = problem.routes.filter(({ id }) => account.routeIds.includes(id))
  return {
    ...{ line, beer, containerTypeId: pack.containerTypeId },
    sites: new Set(routes.map(({ siteId }) => siteId)),
    routes: new Set(routes.map(({ id }) => id)),
  }
}

function changed<T>(list: readonly T[], which: (each: T) => boolean, change: Partial<T>): T[] {
  return list.map((each) => (which(each) ? { ...each, ...change } : each))
}

/** T1: no stage takes any time, and what stands is ready today. How long beer may stand (V5) and be primed (V7) ends no sooner. */
function readyAtOnce(problem: Problem, { beer, sites }: Scope): Problem {
  const { fermentHours, restHours, dryHopHours, crashHours } = beer
  const vessels = new Map(problem.vessels.map((each) => [each.id, each.siteId]))
  const today = (batch: Batch) => sites.has(vessels.get(batch.vesselId) ?? '') && batch.beerId === beer.id
  const batchDays = problem.batches
    .filter(today)
    .map(({ readyAt }) => Math.ceil((Date.parse(readyAt) - Date.parse(`${problem.today}T00:00:00Z`)) / 86_400_000) + 1)
  const days = Math.max(0, Math.ceil((fermentHours + restHours + dryHopHours + crashHours) / 24) + 1, ...batchDays)
  return {
    ...problem,
    sites: changed(problem.sites, ({ id }) => sites.has(id), { brewEnds: '00:00' }),
    // Other beers that are brewed there are ready up to a day sooner by it, and may stand as long as before.
    beers: problem.beers.map((each) =>
      each.id === beer.id
        ? { ...longer(each, days), fermentHours: 0, restHours: 0, dryHopHours: 0, crashHours: 0 }
        : longer(each, 1),
    ),
    batches: changed(problem.batches, (each) => today(each) && Date.parse(each.readyAt) > Date.parse(problem.today), {
      readyAt: `${problem.today}T00:00:00Z`,
    }),
  }
}

/** The beer with so many days more in its vessel (V5), and to be primed (V7). */
function longer(beer: Beer, days: number): Beer {
  const packs = beer.packs.map((pack) =>
    pack.primingWindowDays === undefined ? pack : { ...pack, primingWindowDays: pack.primingWindowDays + days },
  )
  return { ...beer, packs, maxTankDays: beer.maxTankDays + days }
}

/** V3: one more empty vessel of each kind at each site, like the largest of them that the beer may use. */
function anotherVessel(problem: Problem, { beer, sites }: Scope): Problem {
  const added: Vessel[] = []
  for (const siteId of sites)
    for (const kind of ['FERMENTER', 'BRIGHT'] as const) {
      const [largest] = problem.vessels
        .filter((each) => each.siteId === siteId && each.kind === kind)
        .filter(({ id }) => kind === 'BRIGHT' || !beer.vesselIds || beer.vesselIds.includes(id))
        .sort((a, b) => b.capacityLitres - a.capacityLitres)
      if (!largest) continue
      const { availableFrom: _, ...like } = largest
      added.push({ ...like, id: `another ${kind} at ${siteId}`, outOfService: [], minFillLitres: 0 })
    }
  const vesselIds = beer.vesselIds && [...beer.vesselIds, ...added.map(({ id }) => id)]
  return {
    ...problem,
    vessels: [...problem.vessels, ...added],
    beers: vesselIds ? changed(problem.beers, ({ id }) => id === beer.id, { vesselIds }) : problem.beers,
  }
}
