// A plan document that names only what its problem has and uses every part of the shape. It keeps no planning rule but
// those that the database knows: it is for tests of storing, not of planning.
import { type Random, randomFrom } from '../../seeds/random.ts'
import { addDays, DEFAULT_COSTS, type Plan, type Problem, type Reason } from '../../src/planner/documents/index.ts'

/** Some plan for `problem`; the same for the same seed. Lists are empty where the problem has nothing to fill them with. */
export function somePlan(problem: Problem, seed: number): Plan {
  const random = randomFrom(seed)
  const day = () => addDays(problem.today, random.int(0, problem.horizonDays - 1))
  const fixed = () => (random.chance(0.3) ? { fixed: true as const } : {})
  const fermenters = problem.vessels.filter(({ kind }) => kind === 'FERMENTER')
  const siteOf = new Map(problem.vessels.map(({ id, siteId }) => [id, siteId]))

  const brews = fermenters.slice(0, 6).map((vessel, index) => ({
    id: `brew-${index + 1}`,
    beerId: random.pick(problem.beers).id,
    vesselId: vessel.id,
    brewOn: day(),
    litres: vessel.capacityLitres * random.between(0.5, 1),
    ...fixed(),
  }))
  const batches = [...brews, ...problem.batches].map(({ id, beerId, vesselId }) => ({
    id,
    siteId: siteOf.get(vesselId) ?? '',
    packs: problem.beers.find((beer) => beer.id === beerId)?.packs ?? [],
  }))
  const transfers = batches.flatMap((batch, index) => {
    const bright = problem.vessels.find(({ kind, siteId }) => kind === 'BRIGHT' && siteId === batch.siteId)
    if (!bright) return []
    const transfer = { id: `transfer-${index + 1}`, batchId: batch.id, toVesselId: bright.id, on: day(), litres: 12.5 }
    return [{ ...transfer, ...fixed() }]
  })
  const fillRuns = batches.flatMap((batch) => {
    const filler = problem.fillers.find(({ siteId }) => siteId === batch.siteId)
    if (!filler) return []
    return batch.packs.map((pack) => ({
      id: `run-${batch.id}-${pack.id}`,
      batchId: batch.id,
      fillerId: filler.id,
      on: day(),
      packId: pack.id,
      quantity: random.int(1, 40),
      ...fixed(),
    }))
  })
  const siteOfRun = new Map(fillRuns.map((run) => [run.id, batches.find(({ id }) => id === run.batchId)?.siteId]))
  const deliveries = someDeliveries(problem, siteOfRun, random)
  const lines = problem.orderLines.map(({ id }) => ({ orderLineId: id, reasons: [someReason(problem, random)] }))
  const terms = Object.fromEntries(Object.keys(DEFAULT_COSTS).map((term) => [term, random.between(0, 1000)]))
  return {
    brews,
    transfers,
    fillRuns,
    deliveries,
    dumped: batches.map(({ id }) => ({ batchId: id, on: day(), litres: random.between(0.1, 50) })),
    unserved: lines.slice(0, 3).map((line) => ({ ...line, quantity: random.int(1, 5) })),
    late: lines.slice(1, 5),
    brokenPromises: lines.slice(2, 6).map((line) => ({
      ...line,
      promisedOn: day(),
      now: random.chance(0.5) ? null : day(),
    })),
    moved: [
      { kind: 'BREW', id: 'brew-9', reasons: [someReason(problem, random)] },
      { kind: 'FILL_RUN', id: 'run-9', reasons: [] },
    ],
    cost: { total: random.between(0, 10_000), terms: { ...DEFAULT_COSTS, ...terms } },
  }
}

/** For each line one delivery on the first route of its account, from one or two sources of the route's site. */
function someDeliveries(
  problem: Problem,
  siteOfRun: ReadonlyMap<string, string | undefined>,
  random: Random,
): Plan['deliveries'] {
  return problem.orderLines.flatMap((line) => {
    const account = problem.accounts.find(({ id }) => id === line.accountId)
    const route = problem.routes.find(({ id }) => account?.routeIds.includes(id))
    if (!route) return []
    const sources = [
      ...problem.stock.filter(({ siteId }) => siteId === route.siteId).map(({ id }) => ({ stockLotId: id })),
      ...[...siteOfRun].filter(([, siteId]) => siteId === route.siteId).map(([id]) => ({ fillRunId: id })),
    ]
    if (sources.length === 0) return []
    const dispatchOn = addDays(problem.today, random.int(0, problem.horizonDays - 1))
    const from = [...new Set([random.pick(sources), random.pick(sources)])].map((source) => ({
      ...source,
      quantity: random.int(1, 9),
    }))
    return [
      { orderLineId: line.id, routeId: route.id, dispatchOn, serveOn: addDays(dispatchOn, random.int(0, 5)), from },
    ]
  })
}

function someReason(problem: Problem, random: Random): Reason {
  return {
    rule: random.pick(['V3', 'L1', 'C1', 'D1'] as const),
    code: random.pick(['NO_FILLER_MINUTES', 'NO_ROUTE_ROOM'] as const),
    ...(random.chance(0.5) ? { params: { most: 4, packId: random.pick(problem.beers).id } } : {}),
    ...(random.chance(0.5) ? { resource: { kind: 'SITE', id: random.pick(problem.sites).id } } : {}),
    from: problem.today,
    to: addDays(problem.today, 3),
    ...(random.chance(0.5)
      ? { relief: { what: 'CLEAN_CONTAINERS', amount: 4, unit: 'CONTAINER', by: problem.today } }
      : {}),
  }
}
