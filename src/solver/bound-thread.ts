// What runs on the bounding thread: one problem in, ever better lower bounds out.
import { parentPort, workerData } from 'node:worker_threads'
import { instantBound } from '../planner/index.ts'
import type { BoundTask, BoundThreadMessage } from './bound-on-thread.ts'
import type { ThreadData } from './on-thread.ts'
import { relaxedBound } from './relaxed-bound.ts'

/** Order lines up to which whole brews are worth their time. */
const WHOLE_BREWS_UP_TO = 100

const { task }: ThreadData<BoundTask> = workerData
const { problem, seconds } = task
const started = performance.now()
const left = () => seconds - (performance.now() - started) / 1000

let bound = instantBound(problem)
say({ kind: 'BOUND', bound })
for (const wholeBrews of problem.orderLines.length <= WHOLE_BREWS_UP_TO ? [false, true] : [false]) {
  if (left() <= 0) break
  bound = await relaxedBound(problem, { seconds: left(), wholeBrews, known: bound })
  say({ kind: 'BOUND', bound })
}
say({ kind: 'DONE' })

function say(message: BoundThreadMessage): void {
  parentPort?.postMessage(message)
}
