// Beer in containers: what the plan fills and what is in stock, what of it is delivered when, and what is left and
// emptied once it is past its best (S2).
import type { Account, OrderLine, Plan, Route, StockLot } from '../documents/problem.ts'
import type { CellarFacts, RunFacts } from './cellar.ts'
import type { PackFacts, SetupFacts } from './setup.ts'
import { type Violation, violation } from './violation.ts'

/** The containers of one fill run or one stock lot. Days count from today. */
export interface Parcel {
  id: string
  /** Set where the plan fills it; otherwise it is stock of today. */
  run: RunFacts | undefined
  lot: StockLot | undefined
  siteId: string
  of: PackFacts
  quantity: number
  /** First day on which it stands at the site: its fill day, or today for stock. */
  standsFrom: number
  filledOn: number
  /** First day on which it may leave (B3). */
  fitOn: number
  bestBefore: number
  taken: { delivery: DeliveryFacts; quantity: number }[]
  /** Containers that no delivery takes. */
  leftQuantity: number
  /** The day on which what is left is emptied, or undefined where it is good to the end of the horizon (S2). */
  emptiedOn: number | undefined
}

export interface DeliveryFacts {
  delivery: Plan['deliveries'][number]
  line: OrderLine
  account: Account
  route: Route
  of: PackFacts
  dispatch: number
  arrival: number
  serve: number
  /** Days that a container rests in the account's cellar before it is served (B1). */
  settleDays: number
  quantity: number
  litres: number
  sources: { parcel: Parcel; quantity: number }[]
}

export interface PackedFacts {
  parcels: Parcel[]
  deliveries: DeliveryFacts[]
  deliveriesOf: ReadonlyMap<string, DeliveryFacts[]>
  unresolved: Violation[]
}

/** Follows all containers from fill or stock to the account. */
export function packedFacts(setup: SetupFacts, cellar: CellarFacts, plan: Plan): PackedFacts {
  const unresolved: Violation[] = []
  const ofRun = new Map(cellar.runs.map((run) => [run.run.id, runParcel(run)]))
  const ofLot = new Map(setup.problem.stock.map((lot) => [lot.id, lotParcel(setup, lot)]))
  const deliveries: DeliveryFacts[] = []
  const deliveriesOf = new Map<string, DeliveryFacts[]>()
  for (const delivery of plan.deliveries) {
    const facts = readDelivery(setup, delivery)
    if (!facts) {
      const message = `a delivery names no order line or no route of the problem`
      unresolved.push(violation('DOCUMENT', message, delivery.orderLineId, delivery.routeId))
      continue
    }
    for (const { fillRunId, stockLotId, quantity } of delivery.from) {
      const run = fillRunId === undefined ? undefined : ofRun.get(fillRunId)
      const lot = stockLotId === undefined ? undefined : ofLot.get(stockLotId)
      const parcel = run ?? lot
      if (!parcel || (fillRunId !== undefined && stockLotId !== undefined)) {
        const message = `a delivery of line "${delivery.orderLineId}" takes from something that is not one run or one lot`
        unresolved.push(violation('DOCUMENT', message, delivery.orderLineId, fillRunId ?? stockLotId ?? ''))
        continue
      }
      facts.sources.push({ parcel, quantity })
      facts.quantity += quantity
      facts.litres += quantity * facts.of.type.nominalLitres
      parcel.taken.push({ delivery: facts, quantity })
    }
    deliveries.push(facts)
    const ofLine = deliveriesOf.get(facts.line.id)
    if (ofLine) ofLine.push(facts)
    else deliveriesOf.set(facts.line.id, [facts])
  }
  const parcels = [...ofRun.values(), ...ofLot.values()]
  for (const parcel of parcels) findLeft(parcel, setup.horizon)
  return { parcels, deliveries, deliveriesOf, unresolved }
}

function runParcel(run: RunFacts): Parcel {
  return {
    id: run.run.id,
    run,
    lot: undefined,
    siteId: run.batch.site.site.id,
    of: run.of,
    quantity: run.run.quantity,
    standsFrom: run.day,
    filledOn: run.day,
    fitOn: run.day + run.of.pack.conditioningDays,
    bestBefore: run.day + run.of.pack.shelfLifeDays,
    taken: [],
    leftQuantity: 0,
    emptiedOn: undefined,
  }
}

function lotParcel(setup: SetupFacts, lot: StockLot): Parcel {
  const of = setup.packs.get(lot.packId)
  if (!of) throw new RangeError(`stock lot ${lot.id} names no pack: parse the problem first`)
  return {
    id: lot.id,
    run: undefined,
    lot,
    siteId: lot.siteId,
    of,
    quantity: lot.quantity,
    standsFrom: 0,
    filledOn: setup.dayOf(lot.filledOn),
    fitOn: setup.dayOf(lot.readyOn),
    bestBefore: setup.dayOf(lot.bestBefore),
    taken: [],
    leftQuantity: 0,
    emptiedOn: undefined,
  }
}

function readDelivery(setup: SetupFacts, delivery: Plan['deliveries'][number]): DeliveryFacts | undefined {
  const line = setup.lines.get(delivery.orderLineId)
  const route = setup.routes.get(delivery.routeId)?.route
  const account = line && setup.accounts.get(line.accountId)
  const of = line && setup.packs.get(line.packId)
  if (!line || !route || !account || !of) return undefined
  const dispatch = setup.dayOf(delivery.dispatchOn)
  return {
    delivery,
    line,
    account,
    route,
    of,
    dispatch,
    arrival: dispatch + route.transitDays,
    serve: setup.dayOf(delivery.serveOn),
    settleDays: account.settleDays ?? of.pack.settleDays,
    quantity: 0,
    litres: 0,
    sources: [],
  }
}

/** S2: what is left is emptied the day after its best before, where that day is in the horizon; at once if it is past it. */
function findLeft(parcel: Parcel, horizon: number): void {
  const taken = parcel.taken.reduce((sum, { quantity }) => sum + quantity, 0)
  parcel.leftQuantity = Math.max(0, parcel.quantity - taken)
  const emptied = Math.max(parcel.bestBefore + 1, 0)
  if (parcel.leftQuantity > 0 && emptied < horizon) parcel.emptiedOn = emptied
}
