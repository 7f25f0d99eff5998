// Threads do one task after the other, each as if it were the first; one that was ended or failed does none again.
import type { Worker } from 'node:worker_threads'
import { afterAll, beforeEach, expect, test, vi } from 'vitest'
import { tinyProblem } from '../../seeds/small-problem.ts'
import { makePlan } from '../../src/planner/index.ts'
import { boundOnThread } from '../../src/solver/bound-on-thread.ts'
import { makePlanOnThread } from '../../src/solver/make-plan-on-thread.ts'
import { endWaitingThreads } from '../../src/solver/on-thread.ts'

/** Threads that were begun since the test began. */
let begun: Worker[] = []
const count = (worker: Worker) => {
  begun.push(worker)
}
process.on('worker', count)
afterAll(() => {
  process.off('worker', count)
})
beforeEach(() => {
  begun = []
})

const planned = (seed: number) => makePlanOnThread(tinyProblem(seed), { steps: 40 })

test('plans that are made one after the other are made on one thread, each as it is made here', async () => {
  await planned(0)
  begun = []
  for (const seed of [1, 2, 1]) {
    const { plan } = await planned(seed)
    expect(plan).toEqual(makePlan(tinyProblem(seed), { steps: 40 }).plan)
  }
  expect(begun).toEqual([])
})

test('plans that are made at once are made on threads of their own', async () => {
  const plans = await Promise.all([1, 2, 3].map(planned))
  expect(plans.map(({ plan }) => plan)).toEqual(
    [1, 2, 3].map((seed) => makePlan(tinyProblem(seed), { steps: 40 }).plan),
  )
  expect(begun.length).toBeGreaterThan(0)
})

test('a thread that was ended in the middle of its task does no other', async () => {
  await planned(1)
  const ended = makePlanOnThread(tinyProblem(1), { seconds: 60 }, { signal: AbortSignal.timeout(50) })
  await expect(ended).rejects.toThrow(/timeout/i)
  const { plan } = await planned(2)
  expect(plan).toEqual(makePlan(tinyProblem(2), { steps: 40 }).plan)
})

test('a thread whose task failed does no other', async () => {
  await expect(makePlanOnThread({ ...tinyProblem(1), today: 'never' })).rejects.toThrow()
  const { plan } = await planned(2)
  expect(plan).toEqual(makePlan(tinyProblem(2), { steps: 40 }).plan)
})

test('bounds that are found one after the other are the same on one thread', async () => {
  const bounds = () => boundOnThread(tinyProblem(1), 5)
  const first = await bounds()
  begun = []
  expect(await bounds()).toEqual(first)
  expect(begun).toEqual([])
})

test('of threads that wait one is there whenever the next task comes, and the others go after a while', async () => {
  await endWaitingThreads()
  begun = []
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
  try {
    await Promise.all([1, 2, 3].map(planned))
    const exited: Worker[] = []
    const exits = new Promise<void>((resolve) => {
      for (const worker of begun)
        worker.once('exit', () => {
          exited.push(worker)
          if (exited.length === 2) resolve()
        })
    })
    expect(begun).toHaveLength(3)
    vi.advanceTimersByTime(3_600_000)
    await exits
    begun = []
    await planned(4)
    expect(begun).toEqual([])
    expect(exited).toHaveLength(2)
  } finally {
    vi.useRealTimers()
  }
})

test('threads that wait are ended when that is asked for, and those who listen to them hear it', async () => {
  await endWaitingThreads()
  begun = []
  await planned(1)
  const exits = begun.map((worker) => new Promise((resolve) => worker.once('exit', resolve)))
  expect(exits).toHaveLength(1)
  await endWaitingThreads()
  await Promise.all(exits)
})
