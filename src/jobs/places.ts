// How many jobs a process works on at once, by lane.
import type { Lane } from './job-kind.ts'

/** A job that takes no longer, in seconds, may use the place that is kept for short ones. */
export const SHORT_SECONDS = 10

/** Quick jobs that a process does at once. */
const QUICK_PLACES = 4

/** Longer than any job. */
const ANY_LENGTH = 1e9

export interface RunningJob {
  lane: Lane
  seconds: number
}

/**
 * The longest job of a lane, in seconds, that may begin beside those that run; undefined where there is no place. `planning`
 * places are for jobs of any length, and one beside them is for short ones, so that those do not wait for long ones; with 0
 * places the process plans nothing.
 */
export function longestThatFits(lane: Lane, planning: number, running: Iterable<RunningJob>): number | undefined {
  const same = [...running].filter((job) => job.lane === lane)
  if (lane === 'QUICK') return same.length < QUICK_PLACES ? ANY_LENGTH : undefined
  if (planning === 0 || same.length > planning) return undefined
  return same.filter(({ seconds }) => seconds > SHORT_SECONDS).length < planning ? ANY_LENGTH : SHORT_SECONDS
}
