// What identifies the decisions of the baseline, so that the state can count which of them are kept (churn).

/** Baseline decisions that can be kept, by what identifies them (churn). */
export interface BaselineKeys {
  /** `beer:vessel:day` of baseline brews → their index. */
  brews: Map<string, number>
  brewIds: string[]
  brewBeers: number[]
  /** `batch id|filler|pack|day` → run id, and `batch id|vessel|day` → transfer id. */
  runs: Map<string, string>
  transfers: Map<string, string>
}
