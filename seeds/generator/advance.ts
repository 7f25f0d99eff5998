// Moves a problem's today forward: what its plan did on the days that passed becomes fact (batches, stock, fleets).

import type { Batch, Fleet, LocalDate, Plan, Problem, StockLot } from '../../src/planner/documents/index.ts'
import { addDays, dayNumber } from '../../src/planner/documents/index.ts'
import { readyInstant } from '../instants.ts'
import { found, grouped, sum } from './demand.ts'

const TOLERANCE_LITRES = 0.001

/**
 * The problem `days` later, when everything happened as `plan` (valid for `problem`) said. The horizon keeps its length.
 * Dispatched lines are gone, or smaller by what left; the plan itself is not made the baseline here.
 */
export function advance(problem: Problem, plan: Plan, days: number): Problem {
  const today = addDays(problem.today, days)
  const index = indexOf(problem)
  const { batches, vacated } = batchesAfter(problem, plan, index, today)
  const deliveries = plan.deliveries.filter((delivery) => delivery.dispatchOn < today)
  const lots = stockAfter(problem, plan, deliveries, index, today)
  // A lot past its best before was emptied the day after, or at once where it was past already (S2).
  const emptiedOn = (lot: StockLot) => later(addDays(lot.bestBefore, 1), problem.today)
  const emptied = lots.filter((lot) => emptiedOn(lot) < today)
  const comingBack = [
    ...emptied.map((lot) => ({ siteId: lot.siteId, packId: lot.packId, on: emptiedOn(lot), quantity: lot.quantity })),
    ...returnsOf(deliveries, index),
  ]
  return {
    ...problem,
    today,
    vessels: problem.vessels.map((vessel) => {
      const on = vacated.get(vessel.id)
      if (on === undefined) return vessel
      return { ...vessel, availableFrom: later(vessel.availableFrom, addDays(on, vessel.turnaroundDays + 1)) }
    }),
    batches,
    stock: lots.filter((lot) => !emptied.includes(lot)),
    fleets: problem.fleets.map((fleet) => fleetAfter(problem.today, fleet, plan, comingBack, index, today)),
    orderLines: problem.orderLines.flatMap((line) => {
      const left = deliveries
        .filter((delivery) => delivery.orderLineId === line.id)
        .flatMap((delivery) => delivery.from)
      const quantity = line.quantity - sum(left, (source) => source.quantity)
      return quantity > 0 ? [{ ...line, quantity }] : []
    }),
  }
}

/** What is left of a plan on the today of `later`, which `advance` made: runs of the past are lots by now. */
export function remainder(plan: Plan, later: Problem): Plan {
  const toCome = <T extends { on: LocalDate }>(list: readonly T[]) => list.filter((step) => step.on >= later.today)
  const past = new Set(plan.fillRuns.filter((run) => run.on < later.today).map((run) => run.id))
  const deliveries = plan.deliveries.filter((delivery) => delivery.dispatchOn >= later.today)
  const open = new Set(later.orderLines.map((line) => line.id))
  const stillOpen = <T extends { orderLineId: string }>(list: readonly T[] = []) =>
    list.filter((entry) => open.has(entry.orderLineId))
  return {
    ...plan,
    unserved: stillOpen(plan.unserved),
    late: stillOpen(plan.late),
    brokenPromises: stillOpen(plan.brokenPromises),
    brews: plan.brews.filter((brew) => brew.brewOn >= later.today),
    transfers: toCome(plan.transfers),
    fillRuns: toCome(plan.fillRuns),
    dumped: toCome(plan.dumped),
    deliveries: deliveries.map((delivery) => ({
      ...delivery,
      from: delivery.from.map(({ fillRunId, stockLotId, quantity }) =>
        fillRunId === undefined || !past.has(fillRunId)
          ? { ...(fillRunId === undefined ? { stockLotId } : { fillRunId }), quantity }
          : { stockLotId: fillRunId, quantity },
      ),
    })),
  }
}

/** The batches that still hold beer, brewed ones included, and the day on which each vessel was emptied, if it was. */
function batchesAfter(problem: Problem, plan: Plan, index: Index, today: LocalDate) {
  const vacated = new Map<string, LocalDate>()
  const brewed = plan.brews
    .filter((brew) => brew.brewOn < today)
    .map((brew): Batch => {
      const beer = found(index.beers, brew.beerId)
      const site = found(index.sites, found(index.vessels, brew.vesselId).siteId)
      const litres = brew.litres * (1 - beer.lossFraction)
      const readyAt = readyInstant(site, beer, brew.brewOn)
      return {
        id: brew.id,
        beerId: brew.beerId,
        vesselId: brew.vesselId,
        litres,
        readyAt,
        primable: true,
        quarantined: false,
      }
    })
  const batches = [...problem.batches, ...brewed].flatMap((batch): Batch[] => {
    const isOurs = (step: { batchId: string; on: LocalDate }) => step.batchId === batch.id && step.on < today
    const transfer = plan.transfers.find(isOurs)
    const runs = plan.fillRuns.filter(isOurs)
    const dumps = plan.dumped.filter(isOurs)
    const drawn = sum(runs, (run) => run.quantity * found(index.litresFilled, run.packId)) + setupLosses(index, runs)
    const litres = batch.litres - drawn - sum(dumps, (dump) => dump.litres)
    const vesselId = transfer?.toVesselId ?? batch.vesselId
    if (transfer) vacated.set(batch.vesselId, later(vacated.get(batch.vesselId), transfer.on))
    if (litres <= TOLERANCE_LITRES) {
      const last = [...runs, ...dumps].map((step) => step.on).reduce((a, b) => later(a, b), problem.today)
      vacated.set(vesselId, later(vacated.get(vesselId), last))
      return []
    }
    // A vessel is opened by the first draw from it; what was drawn before a transfer was drawn from another.
    const { openedOn, ...rest } = batch
    const draws = runs
      .filter((run) => !transfer || found(index.packs, run.packId).drawFrom === 'BRIGHT')
      .map((run) => run.on)
    const [first] = [...draws, ...(transfer || openedOn === undefined ? [] : [openedOn])].sort()
    return [
      {
        ...rest,
        litres,
        vesselId,
        ...(transfer ? { transferredOn: transfer.on } : {}),
        ...(first === undefined ? {} : { openedOn: first }),
      },
    ]
  })
  return { batches, vacated }
}

interface Return {
  siteId: string
  packId: string
  on: LocalDate
  quantity: number
}

/** What comes back of what was dispatched: to the site that it left, `returnDays` after it was served (C1). */
function returnsOf(deliveries: Plan['deliveries'], index: Index): Return[] {
  return deliveries.flatMap((delivery) => {
    const line = index.lines.get(delivery.orderLineId)
    // A line that was cancelled since is gone.
    if (line === undefined) return []
    const returnDays = found(index.accounts, line.accountId).returnDays
    if (returnDays === undefined) return []
    const siteId = found(index.routes, delivery.routeId).siteId
    const quantity = sum(delivery.from, (source) => source.quantity)
    return [{ siteId, packId: line.packId, on: addDays(delivery.serveOn, returnDays), quantity }]
  })
}

/** A fleet's clean containers on the new today, and what is still to come back. */
function fleetAfter(
  before: LocalDate,
  fleet: Fleet,
  plan: Plan,
  comingBack: readonly Return[],
  index: Index,
  today: LocalDate,
): Fleet {
  const isOurs = (siteId: string, packId: string) =>
    siteId === fleet.siteId && found(index.packs, packId).containerTypeId === fleet.containerTypeId
  const cleanOn = (entry: { on: LocalDate }) => addDays(entry.on, fleet.washDays)
  const filled = plan.fillRuns.filter(
    (run) => run.on < today && isOurs(found(index.fillers, run.fillerId).siteId, run.packId),
  )
  const own = comingBack.filter((entry) => isOurs(entry.siteId, entry.packId))
  const all = [
    ...fleet.returns.filter((entry) => cleanOn(entry) > before),
    ...own.map(({ on, quantity }) => ({ on, quantity })),
  ]
  const clean = all.filter((entry) => cleanOn(entry) <= today)
  const stillOut = all.filter((entry) => cleanOn(entry) > today)
  return {
    ...fleet,
    cleanNow: fleet.cleanNow - sum(filled, (run) => run.quantity) + sum(clean, (entry) => entry.quantity),
    returns: [...grouped(stillOut, (entry) => entry.on)]
      .map(([on, entries]) => ({ on, quantity: sum(entries, (entry) => entry.quantity) }))
      .sort((a, b) => dayNumber(a.on) - dayNumber(b.on)),
  }
}

/** Every lot, those filled meanwhile included, less what was dispatched from it. A run's id becomes its lot's. */
function stockAfter(
  problem: Problem,
  plan: Plan,
  deliveries: Plan['deliveries'],
  index: Index,
  today: LocalDate,
): StockLot[] {
  const filled = plan.fillRuns
    .filter((run) => run.on < today)
    .map((run): StockLot => {
      const pack = found(index.packs, run.packId)
      return {
        id: run.id,
        siteId: found(index.fillers, run.fillerId).siteId,
        packId: run.packId,
        quantity: run.quantity,
        filledOn: run.on,
        readyOn: addDays(run.on, pack.conditioningDays),
        bestBefore: addDays(run.on, pack.shelfLifeDays),
        quarantined: false,
      }
    })
  const sources = deliveries.flatMap((delivery) => delivery.from)
  const taken = (lot: StockLot, isNew: boolean) =>
    sum(sources, (source) => ((isNew ? source.fillRunId : source.stockLotId) === lot.id ? source.quantity : 0))
  return [
    ...problem.stock.map((lot) => ({ ...lot, quantity: lot.quantity - taken(lot, false) })),
    ...filled.map((lot) => ({ ...lot, quantity: lot.quantity - taken(lot, true) })),
  ].filter((lot) => lot.quantity > 0)
}

/** Litres of a batch that its runs lost at set-ups: once for each filler, day and container kind (L1). */
function setupLosses(index: Index, runs: Plan['fillRuns']): number {
  const kind = (packId: string) => found(index.types, found(index.packs, packId).containerTypeId).kind
  const setups = grouped(runs, (run) => `${run.fillerId} ${run.on} ${kind(run.packId)}`)
  return sum([...setups.values()], ([run]) => (run ? found(index.fillers, run.fillerId).setupLossLitres : 0))
}

type Index = ReturnType<typeof indexOf>

function indexOf(problem: Problem) {
  const byId = <T extends { id: string }>(list: readonly T[]) => new Map(list.map((thing) => [thing.id, thing]))
  const packs = byId(problem.beers.flatMap((beer) => beer.packs))
  const types = byId(problem.containerTypes)
  const litresFilled = new Map(
    [...packs.values()].map((pack) => {
      const type = found(types, pack.containerTypeId)
      return [pack.id, type.nominalLitres * (1 + type.overfillFraction)]
    }),
  )
  return {
    sites: byId(problem.sites),
    vessels: byId(problem.vessels),
    beers: byId(problem.beers),
    fillers: byId(problem.fillers),
    routes: byId(problem.routes),
    accounts: byId(problem.accounts),
    lines: byId(problem.orderLines),
    packs,
    types,
    litresFilled,
  }
}

function later(a: LocalDate | undefined, b: LocalDate): LocalDate {
  return a === undefined || a < b ? b : a
}
