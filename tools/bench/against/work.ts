// The work that two checkouts are compared by: problem documents, which each parses for itself, and how much to do.
import { z } from 'zod'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { leaveOutDefaults } from './leave-out-defaults.ts'

export const workShape = z.object({
  warmUp: z.unknown(),
  /** Searched for `steps` steps each. */
  searched: z.array(z.unknown()),
  steps: z.int(),
  /** Planned without a search, then asked for trial placements of its first `asks` lines. */
  large: z.unknown(),
  asks: z.int(),
})
export type Work = z.infer<typeof workShape>

/** Easy and tight problems of 60 and 200 lines, and a large one; the quick work only shows that a round runs. */
export function workOf(quick: boolean): Work {
  const sized = (lines: number, vessels: number, seed: number, tightness: number) =>
    leaveOutDefaults(sizedProblem({ lines, vessels, days: 60, seed, tightness }))
  return {
    warmUp: sized(80, 6, 99, 0.85),
    searched: quick
      ? [sized(30, 4, 1, 0.85)]
      : [sized(60, 6, 1, 0.6), sized(60, 6, 2, 1), sized(200, 12, 3, 0.6), sized(200, 12, 4, 0.95)],
    steps: quick ? 50 : 1500,
    large: quick ? sized(100, 8, 5, 0.85) : sized(1500, 40, 5, 0.85),
    asks: quick ? 20 : 400,
  }
}
