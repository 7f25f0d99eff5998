// Jobs that are done each day, at a time of the distributor's own clock.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { DAILY_KEY, enqueueDaily } from '../../src/jobs/daily.ts'
import { type JobServices, jobKind } from '../../src/jobs/job-kind.ts'
import { JobRunner } from '../../src/jobs/runner.ts'
import { openJobs } from './some-jobs.ts'

const { client, clock, jobs } = await openJobs()

const done: string[] = []
const nightly = jobKind<object, JobServices>({
  name: 'NIGHTLY',
  lane: 'QUICK',
  payload: z.strictObject({}),
  daily: '02:30',
  run: async ({ distributorId }) => {
    done.push(distributorId)
    return undefined
  },
})
const waiting = async () => {
  const rows = await client.job.findMany({ where: { state: 'WAITING' }, orderBy: { distributorId: 'asc' } })
  return rows.map(({ distributorId, key, runAfter }) => [distributorId, key, runAfter.toISOString()])
}

test('each distributor has one waiting, for the next time that its own clock shows the time', async () => {
  await client.distributor.update({ where: { id: 'b' }, data: { timeZone: 'Pacific/Auckland' } })
  await client.distributor.update({ where: { id: 'c' }, data: { timeZone: 'America/New_York' } })
  // Summer time begins in London on 28 March 2027 at 01:00 UTC (Time zone database, rule EU).
  clock.set('2027-03-27T03:00:00Z')
  await enqueueDaily(jobs().services, [nightly])
  await enqueueDaily(jobs().services, [nightly])
  expect(await waiting()).toEqual([
    ['a', DAILY_KEY, '2027-03-28T01:30:00.000Z'],
    ['b', DAILY_KEY, '2027-03-27T13:30:00.000Z'],
    ['c', DAILY_KEY, '2027-03-27T06:30:00.000Z'],
  ])
})

test('one that was missed is done when a process runs, once, and the next one waits then', async () => {
  clock.set('2027-03-01T00:00:00Z')
  await enqueueDaily(jobs().services, [nightly])
  clock.set('2027-03-04T09:00:00Z')
  const runner = new JobRunner([nightly], jobs().services, { planning: 1, perDistributor: 1 })
  done.length = 0
  runner.wake()
  await runner.settled()
  expect(done.toSorted()).toEqual(['a', 'b', 'c'])
  await enqueueDaily(jobs().services, [nightly])
  expect((await waiting()).map(([, , at]) => at)).toEqual(Array.from({ length: 3 }, () => '2027-03-05T02:30:00.000Z'))
  await runner.stop()
})
