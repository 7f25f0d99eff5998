// The whole job: a problem in, a checked plan out.
import { verifyPlan } from '../checker/verify-plan.ts'
import type { Plan, Problem } from '../documents/problem.ts'
import { compile } from '../model/compile.ts'
import { guardPromises } from '../model/promises.ts'
import { seeded } from '../model/random.ts'
import type { State } from '../model/state.ts'
import { loadBaseline } from '../opening/load-baseline.ts'
import { openState } from '../opening/standing.ts'
import { CONSTRUCTIONS, constructBest } from '../search/construct.ts'
import type { Schedule } from '../search/improve.ts'
import { improveFromStarts, startsFor } from '../search/several-starts.ts'
import { explained } from './explained.ts'

/** How far a search is. Costs as in section 8; `bestCost` is the best plan's. */
export interface Progress {
  steps: number
  bestCost: number
}

export interface PlanOptions {
  /** Same problem, seed and steps: same plan, byte for byte. Default 1. */
  seed?: number
  /** Most steps of improvement. Default 2,000, unless `elapsed` says when to stop. */
  steps?: number
  /** How far the search is by a clock outside, from 0 to 1; the search ends at 1. Asked before every step. */
  elapsed?: () => number
  /** Share of the time for reasons that has passed by a clock outside, from 0 to 1: they end at 1. Asked before each line that needs some. */
  explaining?: () => number
  /** Asked before every step; the search ends when it says false. */
  keepGoing?: (progress: Progress) => boolean
  /** Called with every better plan. */
  onProgress?: (progress: Progress) => void
  /** Debugging and tests: the state after every accepted step. */
  onAccepted?: (state: State) => void
}

export interface PlanOutcome {
  plan: Plan
  /** `overdrawn` counts plans that the search found cheaper than its best, and dropped for a fleet (C1) or a store (S1). */
  statistics: { steps: number; firstCost: number; bestCost: number; overdrawn: number }
}

/** Steps of improvement where nothing else is said. */
export const DEFAULT_STEPS = 2000

/**
 * Plans a parsed problem. The plan has passed the independent checker; a violation would be a fault of the planner and
 * throws. Pure and deterministic, but for what `elapsed`, `explaining` and `keepGoing` decide.
 */
export function makePlan(problem: Problem, options: PlanOptions = {}): PlanOutcome {
  const model = compile(problem)
  const state = openState(model)
  const loaded = problem.baseline && loadBaseline(state, problem.baseline)
  constructBest(state, problem.baseline ? 1 : firstPlans(model.lines.length, model.horizon))
  // Whatever else becomes cheaper: what the plain repair keeps is kept (F2).
  const keeps = problem.baseline ? guardPromises(state) : undefined
  const firstCost = state.cost
  let bestCost = firstCost
  let overdrawn = 0
  options.onProgress?.({ steps: 0, bestCost })
  const limit = options.steps ?? (options.elapsed ? Number.POSITIVE_INFINITY : DEFAULT_STEPS)
  const schedule: Schedule = (steps) => {
    if (steps >= limit || options.keepGoing?.({ steps, bestCost }) === false) return 1
    const byClock = options.elapsed?.() ?? 0
    return Math.max(byClock, limit === Number.POSITIVE_INFINITY ? 0 : steps / limit)
  }
  const improvement = {
    random: seeded(options.seed ?? 1),
    schedule,
    held: loaded?.held ?? new Set(),
    keeps,
    onAccepted: options.onAccepted,
    onOverdrawn: () => overdrawn++,
    onBest: (done: number, cost: number) => {
      bestCost = cost
      options.onProgress?.({ steps: done, bestCost })
    },
  }
  const steps = improveFromStarts(state, improvement, startsFor(model.lines.length, limit))
  const decided = explained(problem, state, loaded, options.explaining)
  return { plan: verifyPlan(problem, decided), statistics: { steps, firstCost, bestCost: state.cost, overdrawn } }
}

/** First plans made before improvement: several where they cost next to nothing. */
function firstPlans(lines: number, days: number): number {
  const work = lines * days
  if (work > 20_000) return 1
  return work > 5_000 ? 3 : CONSTRUCTIONS
}
