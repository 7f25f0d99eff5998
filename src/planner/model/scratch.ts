// Objects that a question fills in and its asker reads before the next question: a new one each time would cost more than the
// answer. They hang on a state, so that two states never share one; between questions they mean nothing.
import { type Batch, emptyBatch } from './batch.ts'
import type { Days, Volume } from './constraint.ts'

/** What a batch needs and leaves with given draws. */
export interface Economics {
  feasible: boolean
  drawable: number
  brewed: number
  brews: number
  left: number
  leftAtTransfer: number
}

export class Scratch {
  readonly days: Days = { from: 0, to: -1 }
  readonly volume: Volume = { most: 0.5 }
  readonly economics: Economics = { feasible: false, drawable: 0, brewed: 0, brews: 0, left: 0, leftAtTransfer: 0 }
  /** A brew that is judged before it is one of the plan. */
  readonly batch: { -readonly [Key in keyof Batch]: Batch[Key] } = emptyBatch(-1, {
    beer: 0,
    site: 0,
    fermenter: 0,
    brewOn: 0,
    ready: 0,
    fermenterDeadline: 0,
  })
  /** By day of the horizon: 1 where a new brew could have fermented by then, since some vessel has room up to it. */
  readonly fermented: Uint8Array
  /** First and last day of spans that follow each other within the horizon. */
  readonly spans: Int32Array
  /** By day of the horizon: the first of a list that is fit to leave on it, by its place there; -1 where none is. */
  readonly fitOn: Int32Array

  constructor(horizon: number) {
    this.fermented = new Uint8Array(horizon)
    this.spans = new Int32Array(2 * horizon)
    this.fitOn = new Int32Array(horizon)
  }
}
