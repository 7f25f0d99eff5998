// Several starts: where there are steps enough for each line, the search begins a few times from the same plan, cools each time, and goes on
// from the best of them. One search alone may end far from the best plan, and where depends on its first steps.

import type { State } from '../model/state.ts'
import { type Improvement, improve, restore, snapshot } from './improve.ts'
import { FEW_LINES } from './moves.ts'

/** Searches that begin from the same plan, the share of all steps that they take between them, and how cold the last search begins, from 0 to 1. */
const STARTS = 4
const SHARE_OF_STARTS = 0.6
const GOES_ON_FROM = 0.4
/** How fast a search cools that is one of several, and one that is alone: it has to give up more of the plan before, and cools longer. */
const COOLING = { several: 6, alone: 4 } as const
/** Where lines are few, and with at least so many steps for each of them, several starts are better than a long search. */
const LEAST_STEPS_A_LINE = 50

/** How the steps of a search are spent. `steps` are those that it will have, infinity where a clock decides. */
export function startsFor(lines: number, steps: number): { starts: number; cooling: number } {
  return lines <= FEW_LINES && steps >= LEAST_STEPS_A_LINE * lines
    ? { starts: STARTS, cooling: COOLING.several }
    : { starts: 1, cooling: COOLING.alone }
}

/** Improves the plan in `state` until the schedule ends; leaves the best plan found in it. Answers the steps done. */
export function improveFromStarts(
  state: State,
  improvement: Omit<Improvement, 'cooling'>,
  { starts, cooling }: { starts: number; cooling: number },
): number {
  if (starts === 1) return improve(state, { ...improvement, cooling })
  const first = snapshot(state)
  let found = first
  let done = 0
  /** One search, on its share of the schedule. Only plans that are better than all searches before it found are heard of. */
  const search = (until: { from: number; to: number; cold: number }): void => {
    const before = done
    done += improve(state, {
      ...improvement,
      cooling,
      schedule: (steps) => withinShare(improvement.schedule(before + steps), until),
      onBest: (steps, cost) => {
        if (cost < found.cost - 1e-7) improvement.onBest?.(before + steps, cost)
      },
    })
  }
  for (let start = 0; start < starts; start++) {
    restore(state, first)
    search({ from: (start * SHARE_OF_STARTS) / starts, to: ((start + 1) * SHARE_OF_STARTS) / starts, cold: 0 })
    if (state.cost < found.cost) found = snapshot(state)
  }
  restore(state, found)
  search({ from: SHARE_OF_STARTS, to: 1, cold: GOES_ON_FROM })
  return done
}

/** How far a search is that has a share of all progress and begins `cold` of the way; a search whose share is over has ended. */
function withinShare(progress: number, { from, to, cold }: { from: number; to: number; cold: number }): number {
  if (progress >= to) return 1
  return cold + ((1 - cold) * Math.max(0, progress - from)) / (to - from)
}
