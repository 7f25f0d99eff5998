// A lower bound from row multipliers alone. Any multipliers give one, right or wrong ones: the solver is not trusted, and
// one that was stopped half-way still gives a bound (weak duality).
import type { LinearModel } from './linear-model.ts'

/**
 * The least that cost · x can be over all x within their column bounds, when each row may only be broken at the price of
 * its multiplier: a lower bound on the model's cost whatever the multipliers are. -infinity where an unbounded column
 * would pay.
 */
export function safeDualBound(model: LinearModel, rowDuals: Float64Array): number {
  const reduced = Float64Array.from(model.cost)
  let bound = model.offset
  for (let row = 0; row < model.rowCount; row++) {
    const dual = rowDuals[row] ?? 0
    const side = dual > 0 ? model.rowLower[row]! : model.rowUpper[row]!
    // A multiplier that leans on a side which the row does not have counts for nothing.
    if (dual === 0 || !Number.isFinite(dual) || !Number.isFinite(side)) continue
    bound += dual * side
    for (let entry = model.starts[row]!; entry < model.starts[row + 1]!; entry++) {
      const column = model.columns[entry]!
      reduced[column] = reduced[column]! - dual * model.values[entry]!
    }
  }
  for (let column = 0; column < model.columnCount; column++) {
    const cost = reduced[column]!
    if (cost !== 0) bound += cost * (cost > 0 ? model.lower[column]! : model.upper[column]!)
  }
  return Number.isNaN(bound) ? Number.NEGATIVE_INFINITY : bound
}
