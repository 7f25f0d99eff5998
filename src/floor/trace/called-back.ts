// What of a delivery was called back, and what can be still: containers leave for a line in turn, and those that left first arrive,
// come back and are called back first.
import type { LocalDate } from '../../planner/documents/index.ts'
import type { Fact } from '../facts/fact.ts'
import { rankOf } from '../facts/postings.ts'
import { byOrder, type Posting } from '../ledger/entry.ts'
import { kindOf } from '../ledger/place.ts'

/** What was called back of one lot for one line. */
export interface CalledBack extends Pick<Posting, 'day' | 'rank' | 'recorded'> {
  orderLineId: string
  lotId: string
  /** Whole containers. */
  quantity: number
}

/** What recalls called back, lot by lot. */
export function calledBackBy(facts: readonly Fact[]): CalledBack[] {
  return facts.flatMap((fact) => {
    if (fact.kind !== 'RECALLED') return []
    const { day, recorded, data } = fact
    const at = { day, recorded, rank: rankOf(fact), orderLineId: data.orderLineId }
    return data.lots.map(({ lotId, quantity }) => ({ ...at, lotId, quantity }))
  })
}

/** Containers that left on a day, are on the road or at the account, and have not been called back. */
export interface Out {
  leftOn: LocalDate
  quantity: number
  /** So many of them are on the road. */
  onRoad: number
}

type Moved = Pick<Posting, 'day' | 'rank' | 'recorded' | 'amount' | 'to'>

/**
 * What can be called back still of the containers of a lot that `left` for a line and `ended` their travel, of which so many
 * stand at the account (`standing`). A recall is of what had left by its day, of what is on the road first.
 */
export function stillToRecall<Entry extends Moved>(
  left: readonly Entry[],
  ended: readonly Entry[],
  standing: (entry: Entry) => number,
  recalls: readonly CalledBack[],
): Out[] {
  const travels = [...left].sort(byOrder).map(({ day, amount }) => ({ leftOn: day, onRoad: amount, atAccount: 0 }))
  for (const entry of [...ended].sort(byOrder))
    arrive(travels, entry, kindOf(entry.to) === 'AT_ACCOUNT' ? standing(entry) : 0)
  const out = travels.map(({ leftOn, onRoad, atAccount }) => ({ leftOn, onRoad, quantity: onRoad + atAccount }))
  for (const { day, quantity } of [...recalls].sort(byOrder))
    callBack(
      out.filter(({ leftOn }) => leftOn <= day),
      quantity,
    )
  return out.filter(({ quantity }) => quantity > 0)
}

/** Ends the travel of those that left first; of an arrival the last `standing` are at the account still. */
function arrive(travels: { onRoad: number; atAccount: number }[], { amount }: Moved, standing: number): void {
  let [ending, gone] = [amount, amount - standing]
  for (const travel of travels) {
    const taken = Math.min(travel.onRoad, ending)
    const left = Math.min(taken, gone)
    travel.onRoad -= taken
    travel.atAccount += taken - left
    ending -= taken
    gone -= left
  }
}

function callBack(out: { quantity: number; onRoad: number }[], quantity: number): void {
  let rest = quantity
  for (const each of out) {
    const taken = Math.min(each.quantity, rest)
    rest -= taken
    each.quantity -= taken
    each.onRoad = Math.max(0, each.onRoad - taken)
  }
}
