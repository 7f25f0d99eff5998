// A linear or mixed-integer model as plain arrays, and the builder that writes it row by row. Pure data: what solves it
// lives outside the planner.

/** Minimise cost · x + offset, with lower ≤ x ≤ upper and rowLower ≤ A x ≤ rowUpper; A is stored by rows. */
export interface LinearModel {
  columnCount: number
  rowCount: number
  offset: number
  cost: Float64Array
  lower: Float64Array
  upper: Float64Array
  /** 1 where the column takes whole numbers only, else 0. */
  whole: Int32Array
  rowLower: Float64Array
  rowUpper: Float64Array
  /** Row i has the entries starts[i] … starts[i + 1] - 1 of `columns` and `values`. */
  starts: Int32Array
  columns: Int32Array
  values: Float64Array
}

/** A column times a factor. */
export type Term = readonly [column: number, factor: number]

/** Collects columns and rows, then builds the model. A column that a row names twice counts with the sum of its factors. */
export class ModelBuilder {
  private readonly cost: number[] = []
  private readonly lower: number[] = []
  private readonly upper: number[] = []
  private readonly whole: number[] = []
  private readonly rowLower: number[] = []
  private readonly rowUpper: number[] = []
  private readonly starts: number[] = [0]
  private readonly columns: number[] = []
  private readonly values: number[] = []
  private offset = 0

  /** Entries of all rows: how large the model is. */
  get entries(): number {
    return this.columns.length
  }

  /** Adds a column from `lower` to `upper` (0 and infinity unless given) and answers its number. */
  column(bounds: { lower?: number; upper?: number; whole?: boolean; cost?: number } = {}): number {
    this.cost.push(bounds.cost ?? 0)
    this.lower.push(bounds.lower ?? 0)
    this.upper.push(bounds.upper ?? Number.POSITIVE_INFINITY)
    this.whole.push(bounds.whole ? 1 : 0)
    return this.cost.length - 1
  }

  /** Adds a column that is 0 or 1. */
  binary(cost = 0): number {
    return this.column({ upper: 1, whole: true, cost })
  }

  /** Adds to the cost of a column. */
  addCost(column: number, amount: number): void {
    this.cost[column] = (this.cost[column] ?? 0) + amount
  }

  /** Adds to the constant part of the cost. */
  addOffset(amount: number): void {
    this.offset += amount
  }

  /** Adds the row lower ≤ terms ≤ upper. A row without any column is left out; where it can never hold, that throws. */
  row(terms: Iterable<Term>, lower: number, upper: number): void {
    const sums = new Map<number, number>()
    for (const [column, factor] of terms) sums.set(column, (sums.get(column) ?? 0) + factor)
    let entries = 0
    for (const [column, factor] of sums) {
      if (factor === 0) continue
      this.columns.push(column)
      this.values.push(factor)
      entries++
    }
    if (entries === 0) {
      if (lower > 1e-9 || upper < -1e-9)
        throw new RangeError(`a row without columns can never reach ${lower} to ${upper}`)
      return
    }
    this.rowLower.push(lower)
    this.rowUpper.push(upper)
    this.starts.push(this.columns.length)
  }

  /** Adds the row terms ≤ limit. */
  atMost(terms: Iterable<Term>, limit: number): void {
    this.row(terms, Number.NEGATIVE_INFINITY, limit)
  }

  /** Adds the row terms = value. */
  equal(terms: Iterable<Term>, value: number): void {
    this.row(terms, value, value)
  }

  /** The model as it stands. */
  build(): LinearModel {
    return {
      columnCount: this.cost.length,
      rowCount: this.rowLower.length,
      offset: this.offset,
      cost: Float64Array.from(this.cost),
      lower: Float64Array.from(this.lower),
      upper: Float64Array.from(this.upper),
      whole: Int32Array.from(this.whole),
      rowLower: Float64Array.from(this.rowLower),
      rowUpper: Float64Array.from(this.rowUpper),
      starts: Int32Array.from(this.starts),
      columns: Int32Array.from(this.columns),
      values: Float64Array.from(this.values),
    }
  }
}

/** Every column with the given factor. */
export function each(columns: Iterable<number>, factor = 1): Term[] {
  return Array.from(columns, (column) => [column, factor] as const)
}
