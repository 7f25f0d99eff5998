// The problem whose plans serve a question of sales on the wanted days and no other line later: each line is promised what the plan in
// force serves of it, on its day; what leaves today has left, and decisions move only where they must.
import {
  addDays,
  DEFAULT_COSTS,
  deliveredByLine,
  type OrderLine,
  type Plan,
  type Problem,
} from '../../planner/documents/index.ts'

type Delivery = Plan['deliveries'][number]

/** How much more it costs to move a decision than otherwise: people are to be asked for few moves. */
const CHURN = 4

export interface NewPlanProblem {
  /** What the planner is given. */
  problem: Problem
  /** Deliveries that leave today: they belong to every plan of it, and are not in the problem. */
  leaving: Delivery[]
}

/** Days on which nothing moves: the frozen ones, today at least. */
export function untouchable({ frozenDays }: Problem): number {
  return Math.max(frozenDays, 1)
}

/** The problem of a question. `inForce` is the plan in force as it holds; the lines that are asked for have ids of their own. */
export function newPlanProblem(problem: Problem, inForce: Plan, asked: readonly OrderLine[]): NewPlanProblem {
  const { leaving, left, rest } = withoutLoads(problem, inForce)
  const served = deliveredByLine(rest.deliveries)
  // What the plan in force does not serve is left out: nothing is to move for it.
  const kept = left.orderLines.flatMap((line): OrderLine[] => {
    const is = served.get(line.id)
    return is ? [{ ...line, quantity: is.quantity, promisedOn: is.last }] : []
  })
  const wanted = asked.map((line) => ({ ...line, promisedOn: line.serveOn, latestServeOn: line.serveOn }))
  const churn = (problem.costs?.churn ?? DEFAULT_COSTS.churn) * CHURN
  return {
    problem: {
      ...left,
      frozenDays: untouchable(problem),
      baseline: rest,
      orderLines: [...kept, ...wanted],
      costs: { ...problem.costs, churn },
    },
    leaving,
  }
}

interface WithoutLoads {
  leaving: Delivery[]
  /** The problem once they have left; no route takes more today. */
  left: Problem
  /** The plan without them. */
  rest: Plan
}

/** What leaves today from stock has left: its lots have less, and its containers come back. Others stay as they are. */
function withoutLoads(problem: Problem, inForce: Plan): WithoutLoads {
  const { today } = problem
  const later = new Set(
    inForce.deliveries
      .filter(({ dispatchOn, from }) => dispatchOn !== today || from.some(({ stockLotId }) => !stockLotId))
      .map(({ orderLineId }) => orderLineId),
  )
  const short = new Set(inForce.unserved.map(({ orderLineId }) => orderLineId))
  const leaves = ({ orderLineId }: Delivery) => !later.has(orderLineId) && !short.has(orderLineId)
  const leaving = inForce.deliveries.filter(leaves)
  const gone = new Set(leaving.map(({ orderLineId }) => orderLineId))
  const taken = new Map<string, number>()
  for (const { stockLotId = '', quantity } of leaving.flatMap(({ from }) => from))
    taken.set(stockLotId, (taken.get(stockLotId) ?? 0) + quantity)
  return {
    leaving,
    left: {
      ...problem,
      stock: problem.stock
        .map((lot) => ({ ...lot, quantity: lot.quantity - (taken.get(lot.id) ?? 0) }))
        .filter(({ quantity }) => quantity > 0),
      orderLines: problem.orderLines.filter(({ id }) => !gone.has(id)),
      routes: withoutRoomToday(problem, inForce.deliveries, leaves),
      fleets: withReturns(problem, leaving),
    },
    rest: {
      ...inForce,
      deliveries: inForce.deliveries.filter((delivery) => !leaves(delivery)),
      ...{ unserved: [], late: [], brokenPromises: [], moved: [] },
    },
  }
}

/** The routes, each with room today for nothing but what leaves today and is still in the problem. */
function withoutRoomToday(
  { today, routes, ...problem }: Problem,
  deliveries: readonly Delivery[],
  leaves: (delivery: Delivery) => boolean,
): Problem['routes'] {
  const litresOf = litresByLine(problem)
  const loads = new Map<string, number>()
  for (const delivery of deliveries) {
    if (delivery.dispatchOn !== today || leaves(delivery)) continue
    const litres = (litresOf.get(delivery.orderLineId) ?? 0) * quantityOf(delivery)
    loads.set(delivery.routeId, (loads.get(delivery.routeId) ?? 0) + litres)
  }
  return routes.map((route) => ({
    ...route,
    capacityLitresOn: { ...route.capacityLitresOn, [today]: loads.get(route.id) ?? 0 },
  }))
}

/** Nominal litres of one container of each line. */
function litresByLine({
  beers,
  containerTypes,
  orderLines,
}: Pick<Problem, 'beers' | 'containerTypes' | 'orderLines'>): Map<string, number> {
  const litres = new Map(containerTypes.map(({ id, nominalLitres }) => [id, nominalLitres]))
  const ofPack = new Map(
    beers.flatMap(({ packs }) => packs.map((pack) => [pack.id, litres.get(pack.containerTypeId) ?? 0] as const)),
  )
  return new Map(orderLines.map(({ id, packId }) => [id, ofPack.get(packId) ?? 0]))
}

/** The fleets with what comes back of deliveries within the horizon (C1). */
function withReturns(problem: Problem, leaving: readonly Delivery[]): Problem['fleets'] {
  const sites = new Map(problem.routes.map(({ id, siteId }) => [id, siteId]))
  const types = new Map(
    problem.beers.flatMap(({ packs }) => packs.map(({ id, containerTypeId }) => [id, containerTypeId] as const)),
  )
  const accounts = new Map(problem.accounts.map((account) => [account.id, account]))
  const lines = new Map(problem.orderLines.map((line) => [line.id, line]))
  const last = addDays(problem.today, problem.horizonDays - 1)
  return problem.fleets.map((fleet) => ({
    ...fleet,
    returns: [
      ...fleet.returns,
      ...leaving.flatMap((delivery) => {
        const line = lines.get(delivery.orderLineId)
        const days = accounts.get(line?.accountId ?? '')?.returnDays
        const isOfFleet =
          sites.get(delivery.routeId) === fleet.siteId && types.get(line?.packId ?? '') === fleet.containerTypeId
        if (days === undefined || !isOfFleet) return []
        const on = addDays(delivery.serveOn, days)
        return on > last ? [] : [{ on, quantity: quantityOf(delivery) }]
      }),
    ],
  }))
}

function quantityOf({ from }: Delivery): number {
  return from.reduce((sum, { quantity }) => sum + quantity, 0)
}
