// Problems and plans in one way of writing: lists in order, defaults written out, instants in UTC. Two documents that
// mean the same are then equal.
import { inWholeMillilitres } from '../../src/floor/container-volumes.ts'
import type { Plan, Problem } from '../../src/planner/documents/index.ts'

/** The problem with every default of planning-rules.md, section 1, written out and every list in order. */
export function canonicalProblem(problem: Problem): Problem {
  return {
    ...problem,
    frozenDays: problem.frozenDays,
    costs: problem.costs ?? {},
    sites: byId(problem.sites).map((site) => ({ ...site, closedOn: [...site.closedOn].sort() })),
    vessels: byId(problem.vessels).map((vessel) => ({
      ...vessel,
      outOfService: ordered(vessel.outOfService, ({ from }) => from),
    })),
    beers: byId(problem.beers).map((beer) => ({
      ...beer,
      vesselIds: beer.vesselIds && [...beer.vesselIds].sort(),
      setupWeight: beer.setupWeight,
      packs: byId(beer.packs).map((pack) => ({
        ...pack,
        conditionIn: pack.conditionIn,
        primed: pack.primed,
      })),
    })),
    containerTypes: byId(problem.containerTypes).map(inWholeMillilitres),
    fillers: byId(problem.fillers).map((filler) => ({
      ...filler,
      minutesOn: filler.minutesOn,
      setupLossLitres: filler.setupLossLitres,
      washMinutes: filler.washMinutes,
    })),
    fleets: ordered(problem.fleets, ({ siteId, containerTypeId }) => `${siteId}/${containerTypeId}`).map((fleet) => ({
      ...fleet,
      returns: [...totals(fleet.returns)].map(([on, quantity]) => ({ on, quantity })),
      washDays: fleet.washDays,
    })),
    stores: ordered(problem.stores, ({ siteId, climate }) => `${siteId}/${climate}`),
    routes: byId(problem.routes).map((route) => ({ ...route, closedOn: [...route.closedOn].sort() })),
    accounts: byId(problem.accounts).map((account) => ({
      ...account,
      routeIds: [...account.routeIds].sort(),
      receivesWeekdays: account.receivesWeekdays ?? [1, 2, 3, 4, 5, 6, 7],
      minDaysOnSale: account.minDaysOnSale,
      maxEarlyDays: account.maxEarlyDays,
    })),
    batches: byId(problem.batches).map((batch) => ({
      ...batch,
      readyAt: new Date(batch.readyAt).toISOString(),
      primable: batch.primable,
      quarantined: batch.quarantined,
    })),
    stock: byId(problem.stock).filter(({ quantity }) => quantity > 0),
    orderLines: byId(problem.orderLines).map((line) => ({
      ...line,
      priority: line.priority,
      splittable: line.splittable,
      placedAt: line.placedAt && new Date(line.placedAt).toISOString(),
    })),
    baseline: problem.baseline && canonicalPlan(problem.baseline),
  }
}

/** The plan with its decisions in order of day and id, its verdicts in order of line, and no list left out. */
export function canonicalPlan(plan: Plan): Plan {
  const decision = ({ on, id }: { on: string; id: string }) => on + id
  const line = ({ orderLineId }: { orderLineId: string }) => orderLineId
  const unlessFixed = <T extends { fixed?: boolean }>({ fixed, ...rest }: T) => (fixed ? { ...rest, fixed } : rest)
  return {
    brews: ordered(plan.brews, ({ brewOn, id }) => brewOn + id).map(unlessFixed),
    transfers: ordered(plan.transfers, decision).map(unlessFixed),
    fillRuns: ordered(plan.fillRuns, decision).map(unlessFixed),
    deliveries: plan.deliveries,
    dumped: plan.dumped,
    unserved: ordered(plan.unserved, line),
    late: ordered(plan.late ?? [], line),
    brokenPromises: ordered(plan.brokenPromises ?? [], line),
    moved: ordered(plan.moved ?? [], ({ kind, id }) => `${kind} ${id}`),
    cost: plan.cost,
  }
}

function byId<T extends { id: string }>(list: readonly T[]): T[] {
  return ordered(list, ({ id }) => id)
}

function ordered<T>(list: readonly T[], key: (element: T) => string): T[] {
  return [...list].sort((a, b) => (key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : 0))
}

function totals(returns: readonly { on: string; quantity: number }[]): Map<string, number> {
  const sums = new Map<string, number>()
  for (const { on, quantity } of ordered(returns, (entry) => entry.on)) {
    if (quantity > 0) sums.set(on, (sums.get(on) ?? 0) + quantity)
  }
  return sums
}
