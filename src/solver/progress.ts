// How far the making of a plan is: the same data for the terminal's line, for a plan's `progress` and for those who are
// subscribed to it.
import { z } from 'zod'
import { type Bound, gapOf } from '../planner/index.ts'

const BOUND_KINDS = ['PER_LINE', 'AGGREGATED', 'AGGREGATED_WHOLE_BREWS'] as const satisfies readonly Bound['kind'][]

export const boundKindShape = z.enum(BOUND_KINDS)

export const progressShape = z.strictObject({
  /** Steps of improvement made, over all threads. */
  steps: z.int().min(0),
  /** Cost of the best plan so far (section 8). */
  bestCost: z.number(),
  /** No plan costs less, as far as is known. Null: nothing is known yet. */
  lowerBound: z.number().nullable().default(null),
  boundKind: boundKindShape.nullable().default(null),
  /** Since the search began. */
  seconds: z.number().min(0),
})

export type PlanProgress = z.infer<typeof progressShape>

/** The progress as one line for people. */
export function progressWords({ steps, bestCost, lowerBound, seconds }: PlanProgress): string {
  const bound =
    lowerBound === null
      ? []
      : [`at least ${lowerBound.toFixed(2)}`, `gap ${(gapOf(bestCost, lowerBound) * 100).toFixed(1)} %`]
  return [`${steps} steps`, `cost ${bestCost.toFixed(2)}`, ...bound, `${seconds.toFixed(1)} s`].join(', ')
}
