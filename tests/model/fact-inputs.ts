// Facts drawn for random sequences: of every kind, about things that are there, sensible more often than not.
import { addDays } from '../../src/planner/documents/index.ts'
import type { FactInputKey } from '../../src/resolvers/floor/kinds.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import type { Things } from './things.ts'

/** What a fact is drawn with: the things that are there, and numbers of the sequence. */
export interface Drawn {
  things: Things
  /** Picks one of a list; undefined where it is empty. */
  pick: <Item>(list: readonly Item[]) => Item | undefined
  /** A number of containers. */
  quantity: number
  /** Where something may be so or otherwise. */
  odd: boolean
}

const ref = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const FLEET = { site: ref('Site', 'yard'), containerType: ref('ContainerType', 'firkin') }
const FIRKIN_LITRES = 40.9

/** Draws the input of a kind; undefined where there is nothing that it could be about. */
type Draw = (drawn: Drawn) => object | undefined

const ofBatch =
  (more: Draw = () => ({})): Draw =>
  (drawn) => {
    const id = drawn.pick(drawn.things.batchIds)
    return id === undefined ? undefined : { batch: ref('Batch', id), ...more(drawn) }
  }
const ofLot =
  (more: Draw = () => ({})): Draw =>
  (drawn) => {
    const id = drawn.pick(drawn.things.lotIds)
    return id === undefined ? undefined : { lot: ref('StockLot', id), ...more(drawn) }
  }
const ofFleet =
  (more: Draw = () => ({})): Draw =>
  (drawn) => ({ ...FLEET, quantity: drawn.quantity, ...more(drawn) })
const account = ({ odd }: Drawn) => ref('Account', odd ? 'A-1' : 'A-2')
const vessel: Draw = ({ pick, things }) => {
  const found = pick(things.documents.problem.vessels)
  return found && { vessel: ref('Vessel', found.id) }
}

/** A run that is planned, with a few more or less; or a fill that is not planned. */
const filled: Draw = (drawn) => {
  const { things, pick, quantity, odd } = drawn
  const { plan, problem } = things.documents
  const standing = new Set(problem.batches.map(({ id }) => id))
  const run = pick(plan.fillRuns.filter(({ batchId }) => standing.has(batchId)))
  if (run)
    return { fillRun: run.id, quantity: Math.max(1, run.quantity - (quantity % 4)), spoiled: quantity % 2, more: odd }
  return ofBatch(() => ({ pack: ref('Pack', 'ale-firkin'), quantity, emptied: odd }))(drawn)
}

/** A delivery as it is planned, or of so many of any lot. */
const dispatched: Draw = ({ things, pick, quantity, odd }) => {
  const planned = pick(things.documents.plan.deliveries)
  if (planned && !odd) return { orderLine: ref('OrderLine', planned.orderLineId) }
  const [line, lot] = [pick(things.lineIds), pick(things.lotIds)]
  if (line === undefined || lot === undefined) return undefined
  const lots = [{ lot: ref('StockLot', lot), quantity: 1 + (quantity % 5) }]
  return { orderLine: ref('OrderLine', line), lots, route: ref('Route', 'van') }
}

/** What is on the road for a line; else a line that was not said to have left. */
const arrived =
  (more: Draw = () => ({})): Draw =>
  (drawn) => {
    const { pick, things } = drawn
    const id = pick(things.onRoad) ?? pick(things.documents.plan.deliveries)?.orderLineId
    return id === undefined ? undefined : { orderLine: ref('OrderLine', id), ...more(drawn) }
  }

/** By what the input calls each kind. */
export const DRAWS: Record<FactInputKey, Draw> = {
  brewed: ({ things, pick, quantity, odd }) => {
    const planned = pick(things.documents.plan.brews)
    if (planned) return odd ? { brew: planned.id, litres: planned.litres - quantity } : { brew: planned.id }
    const free = pick(things.documents.problem.vessels)
    return free && { beer: ref('Beer', 'ale'), vessel: ref('Vessel', free.id), litres: 500 + quantity }
  },
  reading: ofBatch(({ odd }) => ({ gravity: odd ? 1.018 : 1.01, celsius: 19 })),
  dryHopped: ofBatch(),
  crashBegun: ofBatch(),
  ready: ofBatch(),
  transferred: (drawn) => {
    const [batch, to] = [ofBatch()(drawn), vessel(drawn)]
    return batch && to && { ...batch, ...to }
  },
  partTransferred: (drawn) => {
    const [batch, to] = [ofBatch()(drawn), vessel(drawn)]
    return batch && to && { ...batch, ...to, litres: drawn.quantity * FIRKIN_LITRES, emptied: drawn.odd }
  },
  blended: (drawn) => {
    const { things, quantity, odd } = drawn
    const [one, two] = [things.batchIds.at(quantity % 2), things.batchIds.at(-1)]
    const to = vessel(drawn)
    if (!to || one === undefined || two === undefined) return undefined
    const part = odd ? { litres: quantity * FIRKIN_LITRES } : {}
    return { ...to, batches: [{ batch: ref('Batch', one) }, { batch: ref('Batch', two), ...part }] }
  },
  dumped: ofBatch(({ odd, quantity }) => (odd ? {} : { litres: quantity * FIRKIN_LITRES })),
  batchQuarantined: ofBatch(),
  batchReleased: ofBatch(),
  filled,
  lotQuarantined: ofLot(),
  lotReleased: ofLot(),
  lotDestroyed: ofLot(({ odd, quantity }) => (odd ? {} : { quantity, keepsContainers: quantity % 2 === 0 })),
  issued: ofLot(({ odd, quantity }) => ({ quantity: 1 + (quantity % 3), to: odd ? 'OWN_BAR' : 'BREAKAGE' })),
  dispatched,
  delivered: arrived(({ odd }) => (odd ? { quantity: 1 } : {})),
  refused: arrived(({ odd, quantity }) => ({ fit: odd, again: quantity % 2 === 0 })),
  recalled: ({ things, pick, odd, quantity }) => {
    const [line, lot] = [pick(things.onRoad) ?? pick(things.lineIds), pick(things.lotIds)]
    if (line === undefined || lot === undefined) return undefined
    const lots = [{ lot: ref('StockLot', lot), quantity: 1 + (quantity % 3) }]
    return { orderLine: ref('OrderLine', line), lots, again: odd, why: 'it is off' }
  },
  returned: ofFleet((drawn) => ({ account: account(drawn), unfit: drawn.odd ? 1 : 0 })),
  washed: ofFleet(),
  bought: ofFleet(),
  scrapped: ofFleet(({ odd }) => ({ from: odd ? 'CLEAN' : 'DIRTY' })),
  containersLost: ofFleet((drawn) => (drawn.odd ? { account: account(drawn) } : {})),
  containersFound: ofFleet(({ odd }) => ({ clean: odd })),
  foreignContainers: ({ quantity }) => ({ site: FLEET.site, quantity, owner: 'somebody else' }),
  fleetCounted: ofFleet(({ quantity }) => ({ quantity: 100 + quantity })),
  vesselOut: (drawn) => {
    const { things, odd, quantity } = drawn
    const out = vessel(drawn)
    return out && (odd ? out : { ...out, until: addDays(things.documents.problem.today, quantity % 9) })
  },
  vesselBack: vessel,
  vesselCleaned: vessel,
  batchCounted: ofBatch(({ quantity }) => ({ litres: quantity * FIRKIN_LITRES })),
  lotCounted: ofLot(({ quantity }) => ({ quantity })),
  fillingEnded: () => ({ site: FLEET.site }),
  routeEnded: () => ({ route: ref('Route', 'van') }),
}
