// How far the making of a plan is: the same data for the terminal's line, for a plan's `progress` and for those who are
// subscribed to it.
import { z } from 'zod'
import { BOUND_KINDS, gapOf } from '../planner/index.ts'

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

/** What is said of a plan whose bound is `EXACT`. */
export const NO_PLAN_COSTS_LESS = 'no plan costs less'

/** The progress as one line for people. */
export function progressWords({ steps, bestCost, lowerBound, boundKind, seconds }: PlanProgress): string {
  const bound =
    lowerBound === null
      ? []
      : boundKind === 'EXACT'
        ? [NO_PLAN_COSTS_LESS]
        : [`at least ${lowerBound.toFixed(2)}`, `gap ${(gapOf(bestCost, lowerBound) * 100).toFixed(1)} %`]
  return [`${steps} steps`, `cost ${bestCost.toFixed(2)}`, ...bound, `${seconds.toFixed(1)} s`].join(', ')
}
