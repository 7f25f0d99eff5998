// How far the facts of an order line have brought it: what has left, what the account has, what will not be sent any more.
import type { Fact } from './fact.ts'

/** Whole containers of an order line. */
export interface LineState {
  dispatched: number
  delivered: number
  /** Refused and not to be sent again. */
  closedShort: number
}

/** The line after its facts. What arrived has left, whether or not that was said. */
export function lineState(facts: readonly Fact[]): LineState {
  const state: LineState = { dispatched: 0, delivered: 0, closedShort: 0 }
  for (const fact of facts) {
    if (fact.kind === 'DISPATCHED') state.dispatched += sum(fact.data.lots)
    if (fact.kind === 'DELIVERED') state.delivered += sum(fact.data.lots)
    if (fact.kind === 'REFUSED') {
      state.dispatched -= sum(fact.data.lots)
      if (!fact.data.again) state.closedShort += sum(fact.data.lots)
    }
  }
  const dispatched = Math.max(state.dispatched, state.delivered)
  return { ...state, dispatched }
}

function sum(lots: readonly { quantity: number }[]): number {
  return lots.reduce((total, { quantity }) => total + quantity, 0)
}
