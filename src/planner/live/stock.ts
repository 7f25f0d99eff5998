// Stock runs and transfers that only keep beer, brought into the form that a plan has when it is opened from its document:
// what a line takes of stock that may change is filled for the line, and a transfer that is drawn from is no other.

import { dayNumber } from '../days.ts'
import { NO_COST, type Plan } from '../problem.ts'
import type { Batch } from '../search/batch.ts'
import { runKey } from '../search/batch.ts'
import { drawCost } from '../search/draws.ts'
import type { LineModel } from '../search/model.ts'
import { PlanReader } from '../search/plan-reader.ts'
import type { Placement, RunTake, State, Surplus } from '../search/state.ts'
import { fits } from '../search/vessels.ts'
import type { Step } from './step.ts'

const EMPTY: Plan = { brews: [], transfers: [], fillRuns: [], deliveries: [], dumped: [], unserved: [], cost: NO_COST }

/** A transfer that nobody draws from any more is kept while it saves beer; one of a brew that nobody needs is not. */
export function settleTransfers(
  state: State,
  step: Step,
  batch: Batch,
  was: Plan['transfers'][number] | undefined,
): void {
  const { model } = state
  for (const surplus of holdsOf(state, batch)) step.unstock(surplus)
  const bright = was && model.indexOf.vessel.get(was.toVesselId)
  if (!was || bright === undefined || !batch.active || batch.fermenter < 0 || batch.transferOn >= 0) return
  const on = dayNumber(was.on) - model.today
  if (on < model.frozenUntil || !fits(model, state.stays[bright], bright, on, model.horizon - 1)) return
  if (!new PlanReader(state, EMPTY).transferable(batch, { on, bright })) return
  if (drawCost(state, batch, 0, true, { on, bright }) > 0) return
  step.stock({ batch, filler: -1, day: -1, pack: -1, quantity: 0, transferOn: on, bright })
}

/** A transfer that is drawn from needs nothing else to hold it. */
export function liftTransfers(state: State, step: Step, batch: Batch): void {
  if (batch.lastBrightDraw < 0) return
  for (const surplus of holdsOf(state, batch)) step.unstock(surplus)
}

function holdsOf(state: State, batch: Batch): Surplus[] {
  if (batch.transferHolds === 0) return []
  return [...state.surpluses].filter((each) => each.batch === batch && each.quantity === 0)
}

/** The placement, for the line as it is compiled now, with what it takes of stock that may change as filled for it; that
 * stock shrinks by so much. */
export function restock(state: State, step: Step, placement: Placement, line: LineModel): Placement {
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
      step.unstock(stock)
      if (stock.quantity > taken) step.stock({ ...stock, quantity: stock.quantity - taken })
    }
    return { ...take, fromSurplus: 0 }
  }
  return {
    ...placement,
    line,
    deliveries: placement.deliveries.map((each) => ({ ...each, runs: each.runs.map(asFilled) })),
  }
}
