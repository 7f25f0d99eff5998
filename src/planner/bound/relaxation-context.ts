// What the parts of the relaxation share: the model that they build, its containers, and what fills draw of each beer.
import type { Buckets } from './buckets.ts'
import type { DeliveryWay } from './demand.ts'
import type { Instance, PackFacts } from './instance.ts'
import type { ModelBuilder, Term } from './linear-model.ts'
import type { BeerPool } from './supply.ts'

/** What all parts of the relaxation are built with. */
export interface RelaxationContext {
  rows: ModelBuilder
  instance: Instance
  buckets: Buckets
}

/** The containers of one pack at one site; columns count containers. */
export interface PackPool {
  siteId: string
  facts: PackFacts
  /** Containers ordered of the pack. */
  ordered: number
  /** Fills of one filler in one bucket, all of them delivered; the first may be fit on `fitFrom`, the last on `fitTo`. */
  fills: { column: number; filledIn: number; fitFrom: number; fitTo: number }[]
  /** What deliveries take of a stock lot. */
  lots: { column: number; lotId: string; quantity: number; fit: number; bestBefore: number }[]
  ways: { column: number; way: DeliveryWay }[]
  /** Containers fit to leave at the end of each bucket, as far as they come from the fills and lots above. */
  fit: number[]
}

/** What fills draw of each beer at each site, by kind of vessel and bucket, in litres. */
export type Draws = Map<BeerPool, { FERMENTER: Term[][]; BRIGHT: Term[][] }>
