// What the shape of a plan cannot say about itself: ids given twice, sources that name two things or none,
// references to things that neither the plan nor its problem has.
import type { Plan, Problem } from '../problem.ts'
import { type Fault, fault } from './faults.ts'
import { checkReference, uniqueIds } from './references.ts'

/** Faults inside a plan, whatever its problem: ids given twice in a list, deliveries whose source is not one thing. */
export function planOwnFaults(plan: Plan, prefix = ''): Fault[] {
  const faults: Fault[] = []
  for (const [name, list] of [
    [`${prefix}brews`, plan.brews],
    [`${prefix}transfers`, plan.transfers],
    [`${prefix}fillRuns`, plan.fillRuns],
  ] as const)
    uniqueIds(
      list.map((value, index) => ({ at: `${name}[${index}]`, value })),
      faults,
    )
  plan.deliveries.forEach((delivery, index) => {
    delivery.from.forEach((source, at) => {
      if ((source.fillRunId === undefined) === (source.stockLotId === undefined))
        faults.push(
          fault(
            `${prefix}deliveries[${index}].from[${at}]`,
            'SOURCE_NOT_SINGLE',
            source.fillRunId === undefined
              ? 'names neither a fill run nor a stock lot'
              : 'names a fill run and a stock lot',
          ),
        )
    })
  })
  return faults
}

/** References of a plan to things that its problem, its baseline or the plan itself does not have. */
export function planReferenceFaults(plan: Plan, problem: Problem): Fault[] {
  const faults: Fault[] = []
  const ids = (list: readonly { id: string }[]) => new Set(list.map(({ id }) => id))
  const refer = (known: ReadonlySet<string>, kind: string, id: string | undefined, path: string) => {
    if (id !== undefined) checkReference(known, kind, id, path, faults)
  }
  const existing = ids(problem.batches)
  const batches = new Set([...existing, ...plan.brews.map(({ id }) => id)])
  const beers = ids(problem.beers)
  const vessels = ids(problem.vessels)
  const fillers = ids(problem.fillers)
  const packs = ids(problem.beers.flatMap((beer) => beer.packs))
  const runs = ids(plan.fillRuns)
  const lots = ids(problem.stock)
  const lines = ids(problem.orderLines)
  const routes = ids(problem.routes)

  plan.brews.forEach((brew, i) => {
    refer(beers, 'beer', brew.beerId, `brews[${i}].beerId`)
    refer(vessels, 'vessel', brew.vesselId, `brews[${i}].vesselId`)
    if (existing.has(brew.id))
      faults.push(fault(`brews[${i}].id`, 'ID_OF_A_BATCH', `"${brew.id}" names a batch that exists`))
  })
  plan.transfers.forEach((transfer, i) => {
    refer(batches, 'batch', transfer.batchId, `transfers[${i}].batchId`)
    refer(vessels, 'vessel', transfer.toVesselId, `transfers[${i}].toVesselId`)
  })
  plan.fillRuns.forEach((run, i) => {
    refer(batches, 'batch', run.batchId, `fillRuns[${i}].batchId`)
    refer(fillers, 'filler', run.fillerId, `fillRuns[${i}].fillerId`)
    refer(packs, 'pack', run.packId, `fillRuns[${i}].packId`)
  })
  plan.deliveries.forEach((delivery, i) => {
    refer(lines, 'order line', delivery.orderLineId, `deliveries[${i}].orderLineId`)
    refer(routes, 'route', delivery.routeId, `deliveries[${i}].routeId`)
    delivery.from.forEach((source, j) => {
      refer(runs, 'fill run', source.fillRunId, `deliveries[${i}].from[${j}].fillRunId`)
      refer(lots, 'stock lot', source.stockLotId, `deliveries[${i}].from[${j}].stockLotId`)
    })
  })
  plan.dumped.forEach((dump, i) => {
    refer(batches, 'batch', dump.batchId, `dumped[${i}].batchId`)
  })
  for (const name of ['unserved', 'late', 'brokenPromises'] as const)
    plan[name]?.forEach(({ orderLineId }, i) => {
      refer(lines, 'order line', orderLineId, `${name}[${i}].orderLineId`)
    })
  const before = {
    BREW: ids(problem.baseline?.brews ?? []),
    TRANSFER: ids(problem.baseline?.transfers ?? []),
    FILL_RUN: ids(problem.baseline?.fillRuns ?? []),
  }
  plan.moved?.forEach(({ kind, id }, i) => {
    refer(before[kind], 'baseline decision', id, `moved[${i}].id`)
  })
  return faults
}
