// How far the facts of an order line have brought it: what has left, what the account has, what was called back, what will not be
// sent any more.
import type { Fact, FactOf } from './fact.ts'

/** Whole containers of an order line. What was called back has neither left nor arrived: it is to be sent again, or closed. */
export interface LineState {
  dispatched: number
  delivered: number
  /** Refused or called back and not to be sent again. */
  closedShort: number
  /** On the road, what was called back there too. */
  onRoad: number
}

/** The line after its facts. What arrived has left, whether or not that was said. */
export function lineState(facts: readonly Fact[]): LineState {
  const lots = lotsOf(facts)
  const total = (of: (lot: LotOfLine) => number) => lots.reduce((sum, lot) => sum + of(lot), 0)
  const arrived = total((lot) => lot.delivered)
  const left = Math.max(
    total((lot) => lot.dispatched - lot.refused),
    arrived,
  )
  return {
    dispatched: Math.max(0, left - total(calledBack)),
    delivered: Math.max(0, arrived - total((lot) => calledBack(lot) - heldOf(lot))),
    closedShort: total((lot) => lot.closed),
    onRoad: left - arrived,
  }
}

/** Containers of a line that were said to have left, and neither came back nor were called back; what was only said to have arrived does not count. */
export function saidToHaveLeft(facts: readonly Fact[]): number {
  return lotsOf(facts).reduce((sum, lot) => {
    const out = lot.dispatched - lot.refused
    return sum + out - Math.max(0, Math.min(calledBack(lot), out))
  }, 0)
}

/** Of each lot the containers that were called back while they were on the road for the line, and are there still. */
export function heldOnRoad(facts: readonly Fact[]): Map<string, number> {
  return new Map(lotsOf(facts).map((lot) => [lot.lotId, heldOf(lot)]))
}

/** What the facts of a line say of one lot; whole containers. */
interface LotOfLine {
  lotId: string
  dispatched: number
  delivered: number
  refused: number
  closed: number
  /** Called back; those of them that were on the road then. */
  recalled: number
  recalledOnRoad: number
  /** Of those on the road: came back to the lot, or arrived all the same. */
  recalledBack: number
  recalledArrived: number
}

/** Called back and out still; more than is out can not be, where a dispatch was withdrawn since. */
function calledBack({ dispatched, delivered, refused, recalled, recalledBack }: LotOfLine): number {
  return Math.max(0, Math.min(recalled - recalledBack, Math.max(dispatched - refused, delivered)))
}

function heldOf(lot: LotOfLine): number {
  const { dispatched, delivered, refused, recalledOnRoad, recalledBack, recalledArrived } = lot
  const road = Math.max(0, dispatched - refused - delivered)
  return Math.min(road, calledBack(lot), recalledOnRoad - recalledBack - recalledArrived)
}

function lotsOf(facts: readonly Fact[]): LotOfLine[] {
  const lots = new Map<string, LotOfLine>()
  const lotOf = (lotId: string) => {
    const none = { dispatched: 0, delivered: 0, refused: 0, closed: 0 }
    const lot = lots.get(lotId) ?? {
      ...{ lotId, ...none, recalled: 0, recalledOnRoad: 0, recalledBack: 0, recalledArrived: 0 },
    }
    lots.set(lotId, lot)
    return lot
  }
  // What was called back first: a fact that names some of it may have been recorded before a recall was corrected.
  for (const fact of facts) if (fact.kind === 'RECALLED') addRecalled(fact, lotOf)
  for (const fact of facts) {
    if (fact.kind === 'DISPATCHED')
      for (const { lotId, quantity } of fact.data.lots) lotOf(lotId).dispatched += quantity
    if (fact.kind === 'REFUSED') addRefused(fact, lotOf)
    if (fact.kind === 'DELIVERED') addDelivered(fact, lotOf)
  }
  return [...lots.values()]
}

function addRecalled({ data: { lots, again } }: FactOf<'RECALLED'>, lotOf: (lotId: string) => LotOfLine): void {
  for (const { lotId, quantity, onRoad } of lots) {
    const lot = lotOf(lotId)
    lot.recalled += quantity
    lot.recalledOnRoad += onRoad
    if (!again) lot.closed += quantity
  }
}

/** Of what was refused, what had been called back was settled by the recall. */
function addRefused({ data: { lots, again } }: FactOf<'REFUSED'>, lotOf: (lotId: string) => LotOfLine): void {
  for (const { lotId, quantity, recalled = 0 } of lots) {
    const lot = lotOf(lotId)
    const back = Math.min(recalled, unsettled(lot))
    lot.refused += quantity
    lot.recalledBack += back
    if (!again) lot.closed += quantity - back
  }
}

function addDelivered({ data: { lots } }: FactOf<'DELIVERED'>, lotOf: (lotId: string) => LotOfLine): void {
  for (const { lotId, quantity, recalled = 0 } of lots) {
    const lot = lotOf(lotId)
    lot.delivered += quantity
    lot.recalledArrived += Math.min(recalled, unsettled(lot))
  }
}

function unsettled({ recalledOnRoad, recalledBack, recalledArrived }: LotOfLine): number {
  return recalledOnRoad - recalledBack - recalledArrived
}
