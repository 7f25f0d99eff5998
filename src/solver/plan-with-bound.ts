// A plan together with how cheap any plan can be at best: searches and bounds side by side, each on a thread of its own. The bounding thread
// may find a plan, too, which counts where the effort is in seconds: a clock decides it.

import type { Plan, Problem } from '../planner/documents/index.ts'
import { type Bound, boundOfCost, type Unavoidable } from '../planner/index.ts'
import { boundOnThread, sharedCost } from './bound-on-thread.ts'
import { makePlanOnThread } from './make-plan-on-thread.ts'
import type { PlanProgress } from './progress.ts'
import { instant, type PlanEffort, type Searched, type SearchProgress } from './search-here.ts'
import { searchesFor, spareProcessors, whileSearching } from './spare-processors.ts'

/** Seconds for bounds where the effort is given in steps, and the most of an effort in seconds that they take. */
const BOUND_SECONDS = 2
const MOST_BOUND_SECONDS = 30
/** Seconds from the start for which a plan that is finished waits for a better bound, where its effort is given in steps. */
const PATIENCE = 1
/** How much longer than the seconds of its effort a finished plan waits for a bound that is on its way. */
const GRACE = 0.2

export interface BoundedPlan {
  plan: Plan
  /** No valid plan of the problem costs less. Absent: `boundFault` says why. */
  bound?: Bound
  /** What is certain of its cost, line by line and beer by beer. Absent where the bound is. */
  unavoidable?: Unavoidable
  statistics: Searched['statistics']
  /** What went wrong on the bounding thread; the bound reported before, where there is one, still holds. */
  boundFault?: unknown
}

export interface PlanOptions {
  /** Searches side by side, with the seeds from `seed` on; unless given, those that are free, and 1 where the effort is not in seconds. */
  threads?: number
  /** Searches that may run in this process at once, where `threads` is not given: the processors less one unless given. */
  atOnce?: number
  /** Seconds for bounds that need the solver; 0 for the instant one alone. Never more than the effort has, which is the default. */
  boundSeconds?: number
  onProgress?: (progress: PlanProgress) => void
  signal?: AbortSignal
}

/**
 * Plans a problem on threads of their own. Of several searches the cheapest plan counts, of equals the one of the first seed, so that each
 * number of threads gives the same plan each time under a step limit. Rejects as `makePlanOnThread` does.
 */
export async function planWithBound(
  problem: Problem,
  effort: PlanEffort,
  { atOnce = spareProcessors(), threads = searchesFor(effort, atOnce), ...options }: PlanOptions = {},
): Promise<BoundedPlan> {
  return whileSearching(threads, () => planOnThreads(problem, effort, threads, options))
}

async function planOnThreads(
  problem: Problem,
  effort: PlanEffort,
  threads: number,
  { boundSeconds, onProgress, signal }: Omit<PlanOptions, 'threads' | 'atOnce'>,
): Promise<BoundedPlan> {
  const stop = new AbortController()
  const whileWanted = signal ? AbortSignal.any([signal, stop.signal]) : stop.signal
  const merged = new MergedProgress(threads, onProgress)
  const { seed = 1, since = instant() } = effort
  const passed = () => (instant() - since) / 1000
  const seconds = secondsForBounds(effort.seconds, passed(), boundSeconds)
  let boundFault: unknown
  let unavoidable: Unavoidable | undefined
  const bounding = boundOnThread(problem, seconds, {
    signal: whileWanted,
    onBound: (bound) => merged.takeBound(bound),
    onUnavoidable: (certain) => {
      unavoidable = certain
    },
    mayPlan: effort.seconds !== undefined,
    seed: seed + threads,
    bestCost: merged.bestCost,
    onPlan: (searched) => merged.takePlan(searched),
  })
    .then(() => undefined)
    .catch((error: unknown) => {
      if (!whileWanted.aborted) boundFault = error
    })
  try {
    const searches = Array.from({ length: threads }, (_, thread) =>
      makePlanOnThread(
        problem,
        { ...effort, since, seed: seed + thread },
        { signal: whileWanted, onProgress: (progress) => merged.take(thread, progress) },
      ),
    )
    const searched = await Promise.race([Promise.all(searches), merged.proven])
    const waitsTo = effort.seconds === undefined ? (boundSeconds ?? 0) + PATIENCE : effort.seconds + GRACE
    const left = waitsTo - passed()
    await Promise.race([bounding, merged.bounded])
    await Promise.race([bounding, pause(Math.max(left, 0), whileWanted)])
    const found = [...searched, ...merged.found]
    const best = found.reduce((least, each) => (each.plan.cost.total < least.plan.cost.total ? each : least))
    const steps = found.reduce((sum, { statistics }) => sum + statistics.steps, 0)
    const bound = merged.boundOf(best.plan.cost.total)
    return { plan: best.plan, bound, unavoidable, statistics: { ...best.statistics, steps }, boundFault }
  } finally {
    stop.abort()
    await bounding
  }
}

/** Seconds for bounds that need the solver: no more than is left of those of the effort, of which some have passed. */
function secondsForBounds(effort: number | undefined, passed: number, wanted: number | undefined): number {
  if (effort === undefined) return wanted ?? BOUND_SECONDS
  return Math.max(0, Math.min(effort - passed, wanted ?? MOST_BOUND_SECONDS))
}

/** Several searches and a bound as one progress. */
class MergedProgress {
  readonly #onProgress: ((progress: PlanProgress) => void) | undefined
  readonly #searches: (SearchProgress | undefined)[]
  readonly #bounds: Bound[] = []
  readonly #found: Searched[] = []
  /** What the cheapest plan of the searches costs, for the bounding thread. */
  readonly bestCost = sharedCost()
  #isBounded: () => void = () => undefined
  #isProven: (found: Searched[]) => void = () => undefined
  /** Once there is a bound. */
  readonly bounded: Promise<void> = new Promise((resolve) => {
    this.#isBounded = resolve
  })
  /** Once there is a plan that no other costs less than. */
  readonly proven: Promise<Searched[]> = new Promise((resolve) => {
    this.#isProven = resolve
  })

  constructor(threads: number, onProgress: ((progress: PlanProgress) => void) | undefined) {
    this.#searches = Array.from({ length: threads }, () => undefined)
    this.#onProgress = onProgress
  }

  /** Plans of the bounding thread. */
  get found(): readonly Searched[] {
    return this.#found
  }

  /** The bound that says most of a plan of that cost. */
  boundOf(cost: number): Bound | undefined {
    return boundOfCost(cost, this.#bounds)
  }

  take(thread: number, progress: SearchProgress): void {
    this.#searches[thread] = progress
    this.bestCost[0] = Math.min(this.bestCost[0] ?? Number.POSITIVE_INFINITY, progress.bestCost)
    this.#tell()
  }

  takeBound(bound: Bound): void {
    this.#bounds.push(bound)
    this.#isBounded()
    this.#tell()
  }

  takePlan(searched: Searched): void {
    this.#found.push(searched)
    if (this.boundOf(searched.plan.cost.total)?.kind === 'EXACT') this.#isProven([])
    this.#tell()
  }

  #tell(): void {
    const searches = this.#searches.filter((each) => each !== undefined)
    if (searches.length === 0) return
    const costs = [...searches.map(({ bestCost }) => bestCost), ...this.#found.map(({ plan }) => plan.cost.total)]
    const bestCost = Math.min(...costs)
    const bound = this.boundOf(bestCost)
    this.#onProgress?.({
      steps: searches.reduce((sum, { steps }) => sum + steps, 0),
      bestCost,
      lowerBound: bound?.value ?? null,
      boundKind: bound?.kind ?? null,
      seconds: Math.max(...searches.map(({ seconds }) => seconds)),
    })
  }
}

/** Waits, but no longer than until the signal is aborted. */
function pause(seconds: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    const end = () => {
      clearTimeout(timer)
      resolve()
    }
    const timer = setTimeout(end, seconds * 1000)
    signal.addEventListener('abort', end, { once: true })
  })
}
