// What a move did, so that it can be taken back: the placements and stock runs that it added and removed, in order.
import type { Placement, Surplus } from './batch.ts'
import type { State } from './state.ts'

type JournalEntry =
  | { what: 'placed'; placement: Placement }
  | { what: 'lifted'; placement: Placement }
  | { what: 'stocked'; surplus: Surplus }
  | { what: 'unstocked'; surplus: Surplus }

export class Journal {
  private readonly entries: JournalEntry[] = []
  private readonly state: State

  constructor(state: State) {
    this.state = state
  }

  place(placement: Placement): void {
    this.state.apply(placement)
    this.entries.push({ what: 'placed', placement })
  }

  lift(placement: Placement): void {
    this.state.remove(placement)
    this.entries.push({ what: 'lifted', placement })
  }

  /** Notes a stock run that is in the plan already. */
  noteStock(surplus: Surplus): void {
    this.entries.push({ what: 'stocked', surplus })
  }

  unstock(surplus: Surplus): void {
    this.state.applySurplus(surplus, -1)
    this.entries.push({ what: 'unstocked', surplus })
  }

  /** Takes everything back, last first. */
  undo(): void {
    const { state } = this
    for (let entry = this.entries.pop(); entry; entry = this.entries.pop()) {
      if (entry.what === 'placed') state.remove(entry.placement)
      else if (entry.what === 'lifted') state.apply(entry.placement)
      else state.applySurplus(entry.surplus, entry.what === 'stocked' ? -1 : 1)
    }
  }
}
