// How cheap a small problem's plan can be at best, and such a plan: a short search, then the exact model from its plan on.
import type { Plan, Problem } from '../planner/documents/index.ts'
import { adoptPlan, type Bound, cautious, exactModel } from '../planner/index.ts'
import { type Searched, searchHere } from './search-here.ts'
import { solveModel } from './solve-exactly.ts'

/** What is not worth the building of its model: more order lines, or more days times vessels. */
const MOST_LINES = 30
const MOST_VESSEL_DAYS = 400
/** Entries of the largest model that is solved: of those of 15 lines and four weeks the largest has 37,000. */
const MOST_ENTRIES = 50_000
/** Share of the seconds that the search before it takes, and the most of them. */
const SEARCH_SHARE = 0.06
const MOST_SEARCH_SECONDS = 2
/** Seconds for what comes after the solver: the plan is opened, explained and checked. */
const END_SECONDS = 0.4
/** Seconds below which nothing is begun. */
export const LEAST_SECONDS_OF_PROOF = 1

export interface Proof {
  bound: Bound
  /** The best plan that was found, with what the search before it says. */
  searched: Searched
}

/** Whether a problem may be small enough for the exact model. */
export function mayBeProven({ orderLines, vessels, horizonDays }: Problem): boolean {
  return orderLines.length <= MOST_LINES && vessels.length * horizonDays <= MOST_VESSEL_DAYS
}

/**
 * A bound and a plan within about `seconds`, on the thread that calls it and one of the solver's; undefined where the problem is
 * too large, the time too short, or what has to stay of the plan in force cannot (F1). `onBound` hears what is known meanwhile.
 */
export async function prove(
  problem: Problem,
  { seconds, seed, onBound }: { seconds: number; seed: number; onBound: (bound: Bound) => void },
): Promise<Proof | undefined> {
  const started = performance.now()
  const left = () => seconds - (performance.now() - started) / 1000
  if (seconds < LEAST_SECONDS_OF_PROOF || !mayBeProven(problem)) return undefined
  const parts = exactModel(problem)
  if (!parts.keeping.holds || parts.model.entries > MOST_ENTRIES) return undefined
  const searched = searchHere(
    problem,
    { seed, seconds: Math.min(MOST_SEARCH_SECONDS, SEARCH_SHARE * seconds) },
    () => {},
  )
  const timeLimitSeconds = left() - END_SECONDS
  if (timeLimitSeconds <= 0) return undefined
  const { status, plan, bound } = await solveModel(parts, {
    timeLimitSeconds,
    overrunSeconds: END_SECONDS / 2,
    start: searched.plan,
    // Of a plan in force nothing is known before there is a plan in which stays what has to (F1).
    ...(problem.baseline ? {} : { onBound: (value: number) => onBound(dayByDay(value)) }),
  })
  if (status === 'HELD' || (problem.baseline && !plan)) return undefined
  return { bound: dayByDay(bound), searched: { ...searched, plan: cheaper(problem, searched.plan, plan) } }
}

function dayByDay(value: number): Bound {
  return { value: cautious(value), kind: 'DAY_BY_DAY' }
}

/** The cheaper of the search's plan and the solver's, which gets its reasons first. */
function cheaper(problem: Problem, own: Plan, found: Plan | undefined): Plan {
  if (!found || found.cost.total >= own.cost.total - 0.01) return own
  const adopted = adoptPlan(problem, found)
  return adopted.cost.total < own.cost.total ? adopted : own
}
