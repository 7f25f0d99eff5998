// What runs on the bounding thread: one problem in, ever better lower bounds out, and of some a plan: of a small problem's exact model or, where
// the time is too short for it or bounds say little, of one more search.
import type { Problem } from '../planner/documents/index.ts'
import {
  type Bound,
  type BoundedBeer,
  type BoundPart,
  beersAlone,
  gapOf,
  instantBound,
  unavoidableOf,
  wholePart,
} from '../planner/index.ts'
import type { BoundTask, BoundThreadMessage } from './bound-on-thread.ts'
import { LEAST_SECONDS_OF_PROOF, mayBeProven, prove } from './prove.ts'
import { boundByBeer, boundBySite, relaxedBound } from './relaxed-bound.ts'
import { searchHere } from './search-here.ts'
import { SolverThread } from './solve-linear.ts'

/** Order lines up to which all sites are bounded together, and whole brews are worth their time. */
const TOGETHER_UP_TO = 500
/**
 * Share of what is left that all beers together take with whole brews; each by itself follows. They come first since the solver looks at its
 * clock only between its steps: of a solve that the answer does not wait for only what it reported is known, and each beer is heard of by
 * itself.
 */
const SHARE_OF_WHOLE_BREWS = 0.4
/** Share of the time that all of them together take beside the exact model, most of it beside the search before that. */
const BESIDE_THE_EXACT = 0.2

/**
 * Where the bound of all beers together is further below the searches' best plan than this share of its cost, what each beer adds by itself
 * says little more, and the plan is most often short of what could be: another seed finds a cheaper one.
 */
const WIDE_GAP = 0.2

/** One for all models and tasks: where they are small, most of the time is taken by its start. */
const solver = new SolverThread()

/** Finds the bounds. */
export async function run(task: BoundTask, say: (message: BoundThreadMessage) => void): Promise<void> {
  await new Bounding(task, say).find()
  say({ kind: 'DONE' })
}

class Bounding {
  readonly #problem: Problem
  readonly #whole: BoundPart
  readonly #seconds: number
  readonly #isSmall: boolean
  readonly #mayPlan: boolean
  readonly #bestCost: Float64Array
  readonly #seed: number
  readonly #say: (message: BoundThreadMessage) => void
  readonly #sayBound = (bound: Bound) => this.#say({ kind: 'BOUND', bound })
  readonly #started = performance.now()

  constructor({ problem, seconds, mayPlan, seed, bestCost }: BoundTask, say: (message: BoundThreadMessage) => void) {
    this.#problem = problem
    this.#whole = wholePart(problem)
    this.#seconds = seconds
    this.#seed = seed
    this.#mayPlan = mayPlan
    this.#isSmall = mayPlan && mayBeProven(problem)
    this.#bestCost = bestCost
    this.#say = say
  }

  async find(): Promise<void> {
    const instant = instantBound(this.#whole)
    this.#sayBound(instant)
    const beers = beersAlone(this.#whole)
    this.#explain(beers)
    if (this.#seconds > 0) await this.#withSolver(instant, beers)
  }

  #left(): number {
    return this.#seconds - (performance.now() - this.#started) / 1000
  }

  /** Bounds that need the solver: of all beers together, then with whole brews, then of each beer by itself. */
  async #withSolver(instant: Bound, beers: readonly BoundedBeer[]): Promise<void> {
    if (this.#problem.orderLines.length > TOGETHER_UP_TO) {
      await boundBySite(this.#whole, { seconds: this.#left(), known: instant, onBound: this.#sayBound, solver })
      return
    }
    if (this.#isSmall) {
      const beside = this.#together(instant, true, BESIDE_THE_EXACT * this.#seconds)
      if (this.#left() < LEAST_SECONDS_OF_PROOF) {
        await beside
        this.#search()
        return
      }
      // The relaxation is solved while the search before the exact model keeps this thread busy.
      const [, isBounded] = await Promise.all([beside, this.#prove()])
      if (isBounded) return
    }
    const linear = await this.#together(instant, false)
    const before = await this.#together(linear, true, SHARE_OF_WHOLE_BREWS * this.#left())
    if (this.#isFarFrom(before)) {
      this.#search()
      return
    }
    await boundByBeer(beers, {
      seconds: this.#left(),
      before,
      solver,
      // What explains a bound is there before it is.
      onBound: (bound) => {
        this.#explain(beers)
        this.#sayBound(bound)
      },
    })
  }

  /** All beers and sites together, within so many seconds: those that are left unless given. */
  async #together(known: Bound, wholeBrews: boolean, most = this.#left()): Promise<Bound> {
    const seconds = Math.min(this.#left(), most)
    if (seconds <= 0) return known
    const bound = await relaxedBound(this.#whole, { seconds, wholeBrews, known, onBound: this.#sayBound, solver })
    this.#sayBound(bound)
    return bound
  }

  /** Whether the exact model had anything to say. */
  async #prove(): Promise<boolean> {
    const proof = await prove(this.#problem, { seconds: this.#left(), seed: this.#seed, onBound: this.#sayBound })
    if (!proof) return false
    this.#sayBound(proof.bound)
    this.#say({ kind: 'PLAN', searched: proof.searched })
    return true
  }

  /** Whether the searches have a plan and it costs much more than a bound says, so that one more search is worth more than other bounds. */
  #isFarFrom({ value }: Bound): boolean {
    const [cost = Number.POSITIVE_INFINITY] = this.#bestCost
    return this.#mayPlan && cost < Number.POSITIVE_INFINITY && gapOf(cost, value) > WIDE_GAP
  }

  /** A plan from another seed: two seldom end far from the best both. */
  #search(): void {
    const seconds = this.#left()
    if (seconds <= 0) return
    const searched = searchHere(this.#problem, { seed: this.#seed, seconds }, () => {})
    this.#say({ kind: 'PLAN', searched })
  }

  #explain(beers: readonly BoundedBeer[]): void {
    this.#say({ kind: 'UNAVOIDABLE', unavoidable: unavoidableOf(beers) })
  }
}
