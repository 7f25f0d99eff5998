import { setTimeout as wait } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { demoScenario } from '../../seeds/demo.ts'
import { makePlan } from '../../src/planner/index.ts'
import { makePlanOnThread } from '../../src/solver/make-plan-on-thread.ts'
import type { SearchProgress } from '../../src/solver/search-here.ts'

const { problem } = demoScenario('2027-03-01')

test('the planning thread makes the very plan that the planner makes here, and tells how far it is', async () => {
  const heard: SearchProgress[] = []
  const { plan, statistics } = await makePlanOnThread(problem, { steps: 50 }, { onProgress: (p) => heard.push(p) })
  const here = makePlan(problem, { steps: 50 })
  expect(plan).toEqual(here.plan)
  expect(statistics).toMatchObject(here.statistics)
  expect(heard.length).toBeGreaterThan(0)
})

test('this thread goes on while the planning thread works', async () => {
  let ticks = 0
  const planned = makePlanOnThread(problem, { seconds: 1 }).then(() => 'planned')
  while ((await Promise.race([planned, wait(20, 'tick')])) === 'tick') ticks += 1
  expect(ticks).toBeGreaterThan(10)
})

test('aborting ends the search with the reason', async () => {
  const reason = new Error('not wanted any more')
  const planned = makePlanOnThread(problem, { seconds: 60 }, { signal: AbortSignal.timeout(1) })
  await expect(planned).rejects.toThrow(/timeout/i)
  await expect(makePlanOnThread(problem, {}, { signal: AbortSignal.abort(reason) })).rejects.toBe(reason)
})

test('what the planner throws comes out here', async () => {
  await expect(makePlanOnThread({ ...problem, today: 'never' })).rejects.toThrow()
})
