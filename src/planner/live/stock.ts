// Stock runs and transfers that only keep beer, brought into the form that a plan has when it is opened from its document:
// what a line takes of stock that may change is filled for the line, and a transfer only keeps beer while that saves something.
import { dayNumber } from '../calendar/days.ts'
import type { Plan } from '../documents/problem.ts'
import { keepBeer } from '../insertion/keep-beer.ts'
import type { Placement, RunTake, Surplus, Transfer } from '../model/batch.ts'
import { type Batch, runKey } from '../model/batch.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { PlanEdit } from './plan-edit.ts'

/**
 * Judges anew the transfers that only keep beer, where something changed about their batch or in their vessel, and those of the
 * plan before (`was`) that have no draw left: those stay that would if the plan were opened from its document.
 */
export function settleTransfers(
  state: State,
  edit: PlanEdit,
  was: (batch: Batch) => Plan['transfers'][number] | undefined,
): void {
  const { indexOf, today } = state.model
  const wanted = new Map<Batch, Transfer>()
  const changed = (batch: Batch) => edit.touched.has(batch) || state.touched.has(batch)
  const concerned = ({ batch, bright, quantity }: Surplus) =>
    quantity === 0 && (changed(batch) || element(state.stays, bright).some((stay) => changed(stay.batch)))
  // One that is lifted may take its brew with it, and leave room beside which others are to be judged.
  for (let holds = [...state.surpluses].filter(concerned); holds.length > 0; ) {
    for (const hold of holds) {
      wanted.set(hold.batch, { on: hold.transferOn, bright: hold.bright })
      edit.unstock(hold)
    }
    holds = [...state.surpluses].filter(concerned)
  }
  for (const batch of edit.touched) {
    const transfer = was(batch)
    const bright = transfer && indexOf.vessel.get(transfer.toVesselId)
    if (transfer && bright !== undefined) wanted.set(batch, { on: dayNumber(transfer.on) - today, bright })
  }
  keepBeer(edit, wanted)
  edit.settle()
}

/** The placement, for the line as it is compiled now, with what it takes of stock that may change as filled for it; that
 * stock shrinks by so much. */
export function restock(state: State, edit: PlanEdit, placement: Placement, line: LineModel): Placement {
  const asFilled = (take: RunTake): RunTake => {
    const run = take.batch.runAt.get(runKey(state.model, take.filler, take.day, take.pack))
    if (take.fromSurplus === 0 || run?.fixed) return take
    let missing = take.fromSurplus
    for (const stock of [...state.surpluses]) {
      if (missing === 0) break
      if (stock.batch !== take.batch || stock.filler !== take.filler || stock.day !== take.day) continue
      if (stock.pack !== take.pack || stock.quantity === 0) continue
      const taken = Math.min(missing, stock.quantity)
      missing -= taken
      edit.unstock(stock)
      if (stock.quantity > taken) edit.stock({ ...stock, quantity: stock.quantity - taken })
    }
    return { ...take, fromSurplus: 0 }
  }
  return {
    ...placement,
    line,
    deliveries: placement.deliveries.map((each) => ({ ...each, runs: each.runs.map(asFilled) })),
  }
}
