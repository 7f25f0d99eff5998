// What may happen to the records of a problem while a plan of it is open: the records as they are then, and the plan after what
// was carried out of it.
import type { Random } from '../../seeds/random.ts'
import { type CarriedOut, planAfter } from '../../src/floor/carried-out.ts'
import { addDays, type Batch, type Plan, type Problem, type StockLot } from '../../src/planner/documents/index.ts'

/** Records, and what was carried out of the plan. */
interface Happened {
  problem: Problem
  done: CarriedOut[]
}

type Happening = (problem: Problem, plan: Plan, random: Random) => Happened | undefined

/** One thing that happened, by its kind; the same for the same random numbers. */
export function somethingHappens(
  problem: Problem,
  plan: Plan,
  random: Random,
): { kind: string; problem: Problem; plan: Plan } {
  for (const [kind, happening] of random.shuffled(Object.entries(HAPPENINGS))) {
    const happened = happening(problem, plan, random)
    if (!happened) continue
    const inOrder = {
      ...happened.problem,
      batches: [...happened.problem.batches].sort(byId),
      stock: [...happened.problem.stock].sort(byId),
    }
    return { kind, problem: inOrder, plan: planAfter(plan, happened.done, happened.problem.orderLines) }
  }
  throw new Error('nothing can happen')
}

const byId = (a: { id: string }, b: { id: string }) => (a.id < b.id ? -1 : 1)

/** An id that stands anywhere among the others. */
const newId = (random: Random) => `${random.pick(['a', 'm', 'z'])}-${random.int(0, 1e9)}`

const HAPPENINGS: Record<string, Happening> = {
  brewed: (problem, plan, random) => {
    const taken = new Set(problem.batches.map(({ vesselId }) => vesselId))
    const brew = random.shuffled(plan.brews).find(({ vesselId }) => !taken.has(vesselId))
    const first = plan.brews
      .filter(({ vesselId }) => vesselId === brew?.vesselId)
      .sort((a, b) => (a.brewOn < b.brewOn ? -1 : 1))[0]
    if (!first) return undefined
    const beer = problem.beers.find(({ id }) => id === first.beerId)
    const litres = first.litres * (1 - (beer?.lossFraction ?? 0)) * random.pick([1, 1, 0.9])
    const id = newId(random)
    const days = Math.ceil(
      ((beer?.fermentHours ?? 0) + (beer?.crashHours ?? 0) + (beer?.restHours ?? 0) + (beer?.dryHopHours ?? 0)) / 24,
    )
    const readyAt = `${addDays(first.brewOn, days + random.pick([0, 1]))}T05:00:00.000Z`
    const batch: Batch = {
      id,
      beerId: first.beerId,
      vesselId: first.vesselId,
      litres,
      readyAt,
      primable: true,
      quarantined: false,
    }
    return {
      problem: { ...problem, batches: [...problem.batches, batch] },
      done: [{ kind: 'BREW', decisionId: first.id, batchId: id }],
    }
  },
  filled: (problem, plan, random) => {
    const standing = new Map(problem.batches.map((batch) => [batch.id, batch]))
    const run = random.shuffled(plan.fillRuns).find(({ batchId }) => standing.has(batchId))
    const batch = run && standing.get(run.batchId)
    const beer = problem.beers.find(({ id }) => id === batch?.beerId)
    const pack = beer?.packs.find(({ id }) => id === run?.packId)
    const type = problem.containerTypes.find(({ id }) => id === pack?.containerTypeId)
    const vessel = problem.vessels.find(({ id }) => id === batch?.vesselId)
    if (!run || !batch || !pack || !type || !vessel) return undefined
    const quantity = random.chance(0.3) ? Math.max(1, run.quantity - 1) : run.quantity
    const { today } = problem
    const lot: StockLot = {
      ...{ id: newId(random), siteId: vessel.siteId, packId: pack.id, quantity, quarantined: false },
      ...{
        filledOn: today,
        readyOn: addDays(today, pack.conditioningDays),
        bestBefore: addDays(today, pack.shelfLifeDays),
      },
    }
    const left = batch.litres - quantity * type.nominalLitres * (1 + type.overfillFraction)
    const emptied = left < 1
    const batches = problem.batches.flatMap((each) =>
      each !== batch ? [each] : emptied ? [] : [{ ...each, litres: left, openedOn: each.openedOn ?? today }],
    )
    const fleets = problem.fleets.map((fleet) =>
      fleet.siteId === vessel.siteId && fleet.containerTypeId === type.id
        ? { ...fleet, cleanNow: Math.max(0, fleet.cleanNow - quantity) }
        : fleet,
    )
    const fill = {
      kind: 'FILL',
      decisionId: run.id,
      batchId: batch.id,
      packId: pack.id,
      lotId: lot.id,
      on: today,
    } as const
    return {
      problem: { ...problem, batches, fleets, stock: [...problem.stock, lot] },
      done: [{ ...fill, quantity, more: random.chance(0.3), emptied }],
    }
  },
  dispatched: (problem, plan, random) => {
    const delivery = random.shuffled(plan.deliveries).find(({ from }) => from.every(({ stockLotId }) => stockLotId))
    if (!delivery) return undefined
    const lots = delivery.from.map(({ stockLotId = '', quantity }) => ({ lotId: stockLotId, quantity }))
    const sent = lots.reduce((sum, { quantity }) => sum + quantity, 0)
    const orderLines = problem.orderLines.flatMap((line) => {
      const quantity = line.id === delivery.orderLineId ? line.quantity - sent : line.quantity
      return quantity === line.quantity ? [line] : quantity > 0 ? [{ ...line, quantity }] : []
    })
    const stock = problem.stock.flatMap((lot) => {
      const quantity = lot.quantity - (lots.find(({ lotId }) => lotId === lot.id)?.quantity ?? 0)
      return quantity > 0 ? [{ ...lot, quantity }] : []
    })
    const back = { on: addDays(problem.today, random.int(1, 9)), quantity: sent }
    const fleets = problem.fleets.map((fleet, index) =>
      index === 0 ? { ...fleet, returns: [...fleet.returns, back] } : fleet,
    )
    return {
      problem: { ...problem, orderLines, stock, fleets },
      done: [{ kind: 'DISPATCH', orderLineId: delivery.orderLineId, lots }],
    }
  },
  transferred: (problem, plan, random) => {
    const standing = new Map(problem.batches.map((batch) => [batch.id, batch]))
    const taken = new Set(problem.batches.map(({ vesselId }) => vesselId))
    const transfer = random
      .shuffled(plan.transfers)
      .find(({ batchId, toVesselId }) => standing.has(batchId) && !taken.has(toVesselId))
    if (!transfer) return undefined
    const from = standing.get(transfer.batchId)?.vesselId
    const batches = problem.batches.map((each) =>
      each.id === transfer.batchId
        ? {
            ...each,
            vesselId: transfer.toVesselId,
            litres: transfer.litres,
            transferredOn: problem.today,
            openedOn: undefined,
          }
        : each,
    )
    const vessels = problem.vessels.map((each) =>
      each.id === from ? { ...each, availableFrom: addDays(problem.today, each.turnaroundDays + 1) } : each,
    )
    const done: CarriedOut[] = [{ kind: 'TRANSFER', decisionId: transfer.id, batchId: transfer.batchId }]
    return { problem: { ...problem, batches, vessels }, done }
  },
  keptBack: (problem, _, random) =>
    changedBatch(problem, random, (batch) => ({ ...batch, quarantined: !batch.quarantined })),
  late: (problem, _, random) =>
    changedBatch(problem, random, (batch) => ({
      ...batch,
      readyAt: `${addDays(problem.today, random.int(0, 6))}T05:00:00.000Z`,
    })),
  poured: (problem, _, random) => changedBatch(problem, random, (batch) => ({ ...batch, litres: batch.litres * 0.8 })),
  lotKeptBack: (problem, _, random) =>
    changedLot(problem, random, (lot) => ({ ...lot, quarantined: !lot.quarantined })),
  counted: (problem, _, random) =>
    changedLot(problem, random, (lot) => ({ ...lot, quantity: Math.max(1, lot.quantity + random.pick([-2, -1, 1])) })),
  containers: (problem, _, random) => {
    if (problem.fleets.length === 0) return undefined
    const some = random.pick(problem.fleets)
    const more = random.pick([-2, 3, 9])
    const fleets = problem.fleets.map((each) =>
      each === some ? { ...each, cleanNow: Math.max(0, each.cleanNow + more) } : each,
    )
    return { problem: { ...problem, fleets }, done: [] }
  },
  returned: (problem, _, random) => {
    if (problem.accounts.length === 0) return undefined
    const some = random.pick(problem.accounts)
    const accounts = problem.accounts.map((each) => (each === some ? { ...each, returnDays: random.int(1, 12) } : each))
    return { problem: { ...problem, accounts }, done: [] }
  },
  out: (problem, _, random) => {
    if (problem.vessels.length === 0) return undefined
    const some = random.pick(problem.vessels)
    const first = random.int(0, 5)
    const span = { from: addDays(problem.today, first), to: addDays(problem.today, first + random.int(0, 3)) }
    const vessels = problem.vessels.map((each) =>
      each === some ? { ...each, outOfService: [...each.outOfService, span] } : each,
    )
    return { problem: { ...problem, vessels }, done: [] }
  },
}

function changedBatch(problem: Problem, random: Random, change: (batch: Batch) => Batch): Happened | undefined {
  if (problem.batches.length === 0) return undefined
  const some = random.pick(problem.batches)
  return {
    problem: { ...problem, batches: problem.batches.map((each) => (each === some ? change(each) : each)) },
    done: [],
  }
}

function changedLot(problem: Problem, random: Random, change: (lot: StockLot) => StockLot): Happened | undefined {
  if (problem.stock.length === 0) return undefined
  const some = random.pick(problem.stock)
  return {
    problem: { ...problem, stock: problem.stock.map((each) => (each === some ? change(each) : each)) },
    done: [],
  }
}
