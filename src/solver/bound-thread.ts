// What runs on the bounding thread: one problem in, ever better lower bounds out, and a plan where the exact model came to one.
import { parentPort, workerData } from 'node:worker_threads'
import { type Bound, type BoundedBeer, beersAlone, instantBound, unavoidableOf, wholePart } from '../planner/index.ts'
import type { BoundTask, BoundThreadMessage } from './bound-on-thread.ts'
import type { ThreadData } from './on-thread.ts'
import { mayBeProven, prove } from './prove.ts'
import { boundByBeer, boundBySite, relaxedBound } from './relaxed-bound.ts'
import { SolverThread } from './solve-linear.ts'

/** Order lines up to which all sites are bounded together, and whole brews are worth their time. */
const TOGETHER_UP_TO = 500
/** Most of the time that the beers by themselves take; all of them together follow. */
const SHARE_OF_BEERS = 0.6
/** Share of the time that all of them together take beside the exact model, most of it beside the search before that. */
const BESIDE_THE_EXACT = 0.2

const { task }: ThreadData<BoundTask> = workerData
const { problem, seconds, exact } = task
const started = performance.now()
const left = () => seconds - (performance.now() - started) / 1000
/** One for all models: where they are small, most of the time is taken by its start. */
const solver = new SolverThread()
const isSmall = exact && mayBeProven(problem)

void find().finally(() => solver.close())

async function find(): Promise<void> {
  const instant = instantBound(problem)
  say({ kind: 'BOUND', bound: instant })
  const beers = beersAlone(wholePart(problem))
  explain(beers)
  if (seconds > 0) await withSolver(instant, beers)
  say({ kind: 'DONE' })
}

/** Bounds that need the solver, the quickest first. */
async function withSolver(instant: Bound, beers: readonly BoundedBeer[]): Promise<void> {
  const onBound = (bound: Bound) => say({ kind: 'BOUND', bound })
  if (problem.orderLines.length > TOGETHER_UP_TO) {
    if (problem.sites.length > 1) await boundBySite(problem, { seconds: left(), known: instant, onBound })
    else await together(instant, false)
    return
  }
  if (isSmall) {
    // The relaxation is solved while the search before the exact model keeps this thread busy.
    const [, isBounded] = await Promise.all([together(instant, true, BESIDE_THE_EXACT * seconds), proveIt()])
    if (isBounded) return
  }
  const linear = await together(instant, false)
  const best = await boundByBeer(beers, {
    ...{ seconds: SHARE_OF_BEERS * left(), before: linear, solver },
    // What explains a bound is there before it is.
    onBound: (bound) => {
      explain(beers)
      onBound(bound)
    },
  })
  await together(best, true)
}

/** All beers and sites together, within so many seconds: those that are left unless given. */
async function together(known: Bound, wholeBrews: boolean, most = left()): Promise<Bound> {
  if (left() <= 0) return known
  const bound = await relaxedBound(problem, { seconds: Math.min(left(), most), wholeBrews, known, solver })
  say({ kind: 'BOUND', bound })
  return bound
}

/** Whether the exact model had anything to say. */
async function proveIt(): Promise<boolean> {
  const proof = await prove(problem, left(), (better) => say({ kind: 'BOUND', bound: better }))
  if (!proof) return false
  say({ kind: 'BOUND', bound: proof.bound })
  say({ kind: 'PLAN', searched: proof.searched })
  return true
}

function explain(beers: readonly BoundedBeer[]): void {
  say({ kind: 'UNAVOIDABLE', unavoidable: unavoidableOf(beers) })
}

function say(message: BoundThreadMessage): void {
  parentPort?.postMessage(message)
}
