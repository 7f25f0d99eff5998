// What runs on the bounding thread: one problem in, ever better lower bounds out, and a plan where the exact model came to one.
import { parentPort, workerData } from 'node:worker_threads'
import { instantBound } from '../planner/index.ts'
import type { BoundTask, BoundThreadMessage } from './bound-on-thread.ts'
import type { ThreadData } from './on-thread.ts'
import { mayBeProven, prove } from './prove.ts'
import { boundBySite, relaxedBound } from './relaxed-bound.ts'

/** Order lines up to which whole brews are worth their time. */
const WHOLE_BREWS_UP_TO = 100
/** Order lines up to which all sites are bounded together. */
const TOGETHER_UP_TO = 500
/** Share of the time that they take where the exact model follows. */
const BEFORE_THE_EXACT = 0.2

const { task }: ThreadData<BoundTask> = workerData
const { problem, seconds, exact } = task
const started = performance.now()
const left = () => seconds - (performance.now() - started) / 1000
const isSmall = exact && mayBeProven(problem)

void find()

async function find(): Promise<void> {
  let bound = instantBound(problem)
  say({ kind: 'BOUND', bound })
  if (problem.orderLines.length > TOGETHER_UP_TO && problem.sites.length > 1) {
    await boundBySite(problem, {
      seconds: left(),
      known: bound,
      onBound: (better) => say({ kind: 'BOUND', bound: better }),
    })
    return say({ kind: 'DONE' })
  }
  for (const wholeBrews of problem.orderLines.length <= WHOLE_BREWS_UP_TO ? [false, true] : [false]) {
    if (left() <= 0) break
    const most = isSmall ? BEFORE_THE_EXACT * seconds : left()
    bound = await relaxedBound(problem, { seconds: Math.min(left(), most), wholeBrews, known: bound })
    say({ kind: 'BOUND', bound })
  }
  if (isSmall) {
    const proof = await prove(problem, left(), (better) => say({ kind: 'BOUND', bound: better }))
    if (proof) {
      say({ kind: 'BOUND', bound: proof.bound })
      say({ kind: 'PLAN', searched: proof.searched })
    }
  }
  say({ kind: 'DONE' })
}

function say(message: BoundThreadMessage): void {
  parentPort?.postMessage(message)
}
