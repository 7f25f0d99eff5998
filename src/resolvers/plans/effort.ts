// How long a search may take, as the caller says.
import { z } from 'zod'
import { oneOf } from '../one-of.ts'

/** Longest search for a draft, in seconds. */
export const MOST_SECONDS = 300
/** Most steps of a search for a draft. */
export const MOST_STEPS = 1_000_000
/** Seconds of search where nothing else is asked. */
export const DEFAULT_SECONDS = 5

/** An effort in seconds or in steps, up to the given limits. */
export function effortUpTo(mostSeconds: number, mostSteps: number) {
  return oneOf({ seconds: z.number().min(0).max(mostSeconds), steps: z.int().min(0).max(mostSteps) }).default({
    seconds: DEFAULT_SECONDS,
  })
}

/** Steps of a search in a second on a plan of some hundred lines, to guess how long one takes. */
const STEPS_IN_A_SECOND = 2000
/** Seconds for the bound where the effort is a number of steps. */
const FOR_THE_BOUND = 1

/** About how long a search of such an effort takes, in seconds: when its turn comes depends on it. */
export function secondsOf({ seconds, steps = 0 }: { seconds?: number; steps?: number }): number {
  return seconds ?? steps / STEPS_IN_A_SECOND + FOR_THE_BOUND
}

export const seedShape = z.int().min(0).max(2_147_483_647).default(1)
