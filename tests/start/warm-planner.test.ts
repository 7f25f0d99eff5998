// What a process does before its first plan is asked for: the first plan finds a thread that has planned before, and a process that ends is
// not kept from ending.
import { afterAll, beforeEach, expect, test } from 'vitest'
import { tinyProblem } from '../../seeds/small-problem.ts'
import { makePlanOnThread } from '../../src/solver/make-plan-on-thread.ts'
import { endWaitingThreads } from '../../src/solver/on-thread.ts'
import { warmPlanner } from '../../src/start/warm-planner.ts'

/** Threads that were begun since the test began. */
let begun = 0
const count = () => {
  begun += 1
}
process.on('worker', count)
afterAll(async () => {
  process.off('worker', count)
  await endWaitingThreads()
})
beforeEach(async () => {
  await endWaitingThreads()
  begun = 0
})

test('the first plan is made on the thread that has planned before', async () => {
  await warmPlanner(new AbortController().signal)
  expect(begun).toBe(1)
  await makePlanOnThread(tinyProblem(1), { steps: 10 })
  expect(begun).toBe(1)
})

test('where the process ends meanwhile, that is no fault, and nothing waits', async () => {
  const stopping = new AbortController()
  const warming = warmPlanner(stopping.signal)
  stopping.abort()
  await warming
  // A thread says that it has begun a turn later.
  await new Promise(setImmediate)
  begun = 0
  await makePlanOnThread(tinyProblem(1), { steps: 10 })
  expect(begun).toBe(1)
})
