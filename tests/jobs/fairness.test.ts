// Whose turn it is: distributors share the places, and short jobs do not wait for long ones.
import { expect, test } from 'vitest'
import { openJobs } from './some-jobs.ts'

const { clock, jobs } = await openJobs()

test('the distributor with the fewest running comes first, then what was asked for first', async () => {
  for (const name of ['a1', 'a2', 'a3', 'a4']) await jobs().ask('a', name)
  for (const name of ['b1', 'b2']) await jobs().ask('b', name)
  await jobs().ask('c', 'c1')
  jobs().runner().wake()
  expect(await jobs().begun(7)).toEqual(['a1', 'b1', 'c1', 'a2', 'b2', 'a3', 'a4'])
})

test('of one distributor no more run at once than may, over all processes, and the others take the places', async () => {
  for (const name of ['a1', 'a2', 'a3', 'b1']) await jobs().ask('a' === name[0] ? 'a' : 'b', name)
  const [here, there] = [jobs().runner({ perDistributor: 2 }), jobs().runner({ perDistributor: 2 })]
  here.wake()
  there.wake()
  expect((await jobs().begun(3)).toSorted()).toEqual(['a1', 'a2', 'b1'])
  jobs().endOf('a1')
  expect((await jobs().begun(4)).at(-1)).toBe('a3')
})

test('a short job begins before a long one that was asked for a little earlier, and beside one, though there is one place', async () => {
  await jobs().ask('a', 'long', { seconds: 60 })
  await jobs().ask('b', 'other long', { seconds: 60 })
  await jobs().ask('c', 'short', { seconds: 5 })
  await jobs().ask('c', 'next short', { seconds: 5 })
  const here = jobs().runner({ planning: 1 })
  here.wake()
  expect(await jobs().begun(2)).toEqual(['short', 'long'])
  jobs().endOf('short')
  expect((await jobs().begun(3)).at(-1)).toBe('next short')
  jobs().endOf('next short')
  await expect.poll(async () => (await jobs().rowOf('next short')).state).toBe('DONE')
  expect(jobs().held).toHaveLength(3)
  jobs().endOf('long')
  expect((await jobs().begun(4)).at(-1)).toBe('other long')
})

test('what has waited for as long as it takes is not overtaken by what is asked for afterwards', async () => {
  await jobs().ask('a', 'patient', { seconds: 30 })
  clock.set(new Date(clock.now().getTime() + 31_000))
  await jobs().ask('a', 'asked after', { seconds: 1 })
  jobs().runner().wake()
  expect(await jobs().begun(2)).toEqual(['patient', 'asked after'])
})

test('a process without places for planning leaves it to others, and does what is quick', async () => {
  await jobs().ask('a', 'plan')
  await jobs().ask('a', 'message', { of: jobs().quick })
  const here = jobs().runner({ planning: 0 })
  here.wake()
  expect(await jobs().begun(1)).toEqual(['message'])
  jobs().endOf('message')
  await here.settled()
  expect(await jobs().rowOf('plan')).toMatchObject({ state: 'WAITING' })
})

test('the long jobs of one distributor leave room for a short one of it', async () => {
  for (const name of ['long', 'other long', 'third long']) await jobs().ask('a', name, { seconds: 60 })
  await jobs().ask('a', 'short', { seconds: 5 })
  jobs().runner({ perDistributor: 2 }).wake()
  expect((await jobs().begun(2)).toSorted()).toEqual(['long', 'short'])
})
