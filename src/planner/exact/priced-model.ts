// The model under construction: rows and columns, and which cost term of section 8 each charge belongs to, so that a
// solution's cost can be reported by term.
import { each, type LinearModel, ModelBuilder } from '../bound/linear-model.ts'
import { COST_TERMS, type CostTerm, NO_COST, type Plan } from '../documents/problem.ts'

/**
 * A part of the tolerance with which the rules compare litres: a plan may exceed a volume by a little and still be valid,
 * so the model must allow it to be a lower bound of every valid plan. Two such parts may meet in one volume (what a vessel
 * lacks and what a transfer may lack), and rounding comes on top: three in all stay within the tolerance.
 */
export const LITRE_SLACK = 0.0003

interface Charge {
  column: number
  term: CostTerm
  amount: number
}

export class PricedModel {
  readonly rows = new ModelBuilder()
  private readonly charges: Charge[] = []
  private readonly constants = new Map<CostTerm, number>()

  /** Adds to the cost of one unit of a column, under a term. */
  charge(column: number, term: CostTerm, amount: number): void {
    if (amount === 0) return
    this.charges.push({ column, term, amount })
    this.rows.addCost(column, amount)
  }

  /** Adds to the cost of every solution, under a term. */
  chargeAlways(term: CostTerm, amount: number): void {
    this.constants.set(term, (this.constants.get(term) ?? 0) + amount)
    this.rows.addOffset(amount)
  }

  /** The cost of a solution. */
  cost(values: Float64Array): Plan['cost'] {
    const sums = new Map(this.constants)
    for (const { column, term, amount } of this.charges)
      sums.set(term, (sums.get(term) ?? 0) + amount * (values[column] ?? 0))
    const terms = { ...NO_COST.terms }
    // What is left of a sum of cancelling parts is no cost.
    for (const term of COST_TERMS) terms[term] = Math.max(0, sums.get(term) ?? 0)
    return { total: COST_TERMS.reduce((sum, term) => sum + terms[term], 0), terms }
  }

  /** How large it is. */
  get entries(): number {
    return this.rows.entries
  }

  /** The arrays for the solver. */
  build(): LinearModel {
    return this.rows.build()
  }
}

/** Litres between the least and the most where one of the columns is 1, else none (V2, V6). */
export function addRange(model: PricedModel, litres: number, chosen: number[], least: number, most: number): void {
  model.rows.atMost([[litres, 1], ...each(chosen, -(most + LITRE_SLACK))], 0)
  model.rows.atMost([[litres, -1], ...each(chosen, Math.max(0, least - LITRE_SLACK))], 0)
}
