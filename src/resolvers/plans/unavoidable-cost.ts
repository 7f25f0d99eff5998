// The cost of a plan in parts that are proven and one that is not: what no plan avoids for its beers, what it does not avoid for all of
// them together, and what may be saved yet.
import { z } from 'zod'
import {
  type CostInParts,
  costInParts,
  type Unavoidable,
  type UnavoidableBeer,
  type UnavoidableLine,
} from '../../planner/index.ts'

const line: z.ZodType<UnavoidableLine> = z.strictObject({
  orderLineId: z.string(),
  cost: z.number(),
  daysLate: z.int().nullable(),
})
const beer: z.ZodType<UnavoidableBeer> = z.strictObject({
  beerId: z.string(),
  cost: z.number(),
  lines: z.number(),
  left: z.number(),
})
const shape: z.ZodType<Unavoidable> = z.strictObject({ lines: z.array(line), beers: z.array(beer) })

export { MOST_LINES_NAMED } from '../../planner/index.ts'

/** Beers that are named at most: of more the dearest. */
export const MOST_BEERS_NAMED = 50

export interface UnavoidableCost extends Unavoidable, CostInParts {}

/** What is stored of a plan beside its bound; null where nothing is. */
export function readUnavoidable(
  stored: unknown,
  { costTotal, lowerBound }: { costTotal: number; lowerBound: number },
): UnavoidableCost | null {
  if (stored === null) return null
  const unavoidable = shape.parse(stored)
  const { lines, beers } = unavoidable
  return { lines, beers: beers.slice(0, MOST_BEERS_NAMED), ...costInParts(unavoidable, costTotal, lowerBound) }
}
