// Jobs are held by a lease and tried twice, and their results are refused once the lease is lost.
import { expect, test } from 'vitest'
import { inTransaction } from '../../src/database/transaction.ts'
import { JobFailed } from '../../src/jobs/job-kind.ts'
import { expireLeases } from '../../src/jobs/leases.ts'
import { OUR_FAULT } from '../../src/jobs/run-attempt.ts'
import { ENDED_EACH_TIME } from '../../src/jobs/runner.ts'
import { openJobs } from './some-jobs.ts'

const { client, clock, jobs } = await openJobs()

test('a result is written with the end of its job, and the payload goes', async () => {
  await jobs().ask('a', 'one')
  const here = jobs().runner()
  here.wake()
  await jobs().begun(1)
  expect(await jobs().rowOf('one')).toMatchObject({ state: 'RUNNING', attempts: 1 })
  jobs().endOf('one')
  await here.settled()
  expect(await jobs().rowOf('one')).toMatchObject({ state: 'DONE', finishedAt: clock.now(), payload: null })
  expect(await client.distributor.findUniqueOrThrow({ where: { id: 'a' } })).toMatchObject({ name: 'one' })
  expect(jobs().faults).toEqual([])
})

test('a result is refused once the lease is lost, and the attempt that has it now writes its own', async () => {
  await jobs().ask('a', 'one', { seconds: 60 })
  // With one place, the first process has none for a second attempt.
  const [here, there] = [jobs().runner({ planning: 1 }), jobs().runner()]
  here.wake()
  await jobs().begun(1)
  await jobs().runOut('one')
  there.wake()
  await jobs().begun(2)
  const [first, second] = jobs().held
  expect(await first?.attempt.stillMine()).toBe(false)
  expect(await second?.attempt.stillMine()).toBe(true)
  expect(second?.attempt.number).toBe(2)
  first?.end()
  await here.settled()
  expect(jobs().written).toEqual([])
  expect(await jobs().rowOf('one')).toMatchObject({ state: 'RUNNING' })
  second?.end()
  await there.settled()
  expect(jobs().written).toEqual(['one'])
  expect(await jobs().rowOf('one')).toMatchObject({ state: 'DONE', attempts: 2 })
  expect(jobs().faults).toEqual([])
})

test('a lease that has run out and that nothing has taken yet is lost, too', async () => {
  await jobs().ask('a', 'one')
  const here = jobs().runner()
  here.wake()
  await jobs().begun(1)
  await jobs().runOut('one')
  jobs().endOf('one')
  await jobs().begun(2)
  expect(jobs().written).toEqual([])
})

test('a note on the way is written while the lease is held, and stops the handler once it is not', async () => {
  await jobs().ask('a', 'one')
  const here = jobs().runner()
  here.wake()
  await jobs().begun(1)
  const attempt = jobs().held[0]?.attempt
  const noted: string[] = []
  await attempt?.note(async () => noted.push('before'))
  await jobs().runOut('one')
  await attempt?.note(async () => noted.push('after'))
  expect(noted).toEqual(['before'])
  expect(attempt?.signal.aborted).toBe(true)
})

test('a handler ends its job in a transaction of its own, such as one behind a lock', async () => {
  await jobs().ask('a', 'one')
  const here = jobs().runner()
  here.wake()
  await jobs().begun(1)
  await inTransaction(client, async (tx) => jobs().held[0]?.attempt.finish(tx))
  expect(await jobs().rowOf('one')).toMatchObject({ state: 'DONE' })
  jobs().endOf('one')
  await here.settled()
  expect(jobs().faults).toEqual([])
})

test.each([
  ['half a minute', 'kind', 10, 30],
  ['ten seconds where the job is quick', 'quick', 1, 10],
] as const)('a lease holds for %s by the clock of the database', async (_, of, more, most) => {
  await jobs().ask('a', 'one', { of: jobs()[of] })
  jobs().runner().wake()
  await jobs().begun(1)
  const [{ seconds } = { seconds: 0 }] = await client.$queryRaw<{ seconds: number }[]>`
    SELECT extract(epoch FROM "leaseUntil" - now())::float AS "seconds" FROM "Job" WHERE "state" = 'RUNNING'`
  expect(seconds).toBeGreaterThan(more)
  expect(seconds).toBeLessThanOrEqual(most)
})

test('leases are renewed while their process works', async () => {
  await jobs().ask('a', 'one')
  jobs()
    .runner({ leaseSeconds: { PLANNING: 3, QUICK: 3 }, renewSeconds: 0.2 })
    .wake()
  await jobs().begun(1)
  const first = (await jobs().rowOf('one')).leaseUntil?.getTime() ?? 0
  await expect.poll(async () => (await jobs().rowOf('one')).leaseUntil?.getTime()).toBeGreaterThan(first + 500)
  expect(jobs().held).toHaveLength(1)
})

test('two attempts that end without a result are all: the job fails and says why, and so does what it was for', async () => {
  await jobs().ask('a', 'one')
  const here = jobs().runner()
  for (const count of [1, 2]) {
    here.wake()
    await jobs().begun(count)
    await jobs().runOut('one')
    here.checkLeases()
    await expect.poll(() => jobs().held[count - 1]?.attempt.signal.aborted).toBe(true)
  }
  await here.settled()
  expect(jobs().held).toHaveLength(2)
  expect(await jobs().rowOf('one')).toMatchObject({ state: 'FAILED', attempts: 2, failure: ENDED_EACH_TIME })
  expect(jobs().failed).toEqual([{ key: 'one', reason: ENDED_EACH_TIME, worthRepeating: true }])
  expect(await client.distributor.findUniqueOrThrow({ where: { id: 'a' } })).toMatchObject({ name: ENDED_EACH_TIME })
})

test('a fault of ours is reported and tried again; the second one fails the job', async () => {
  await jobs().ask('a', 'one')
  const here = jobs().runner()
  here.wake()
  await jobs().begun(1)
  jobs().held[0]?.end(new Error('first fault'))
  await jobs().begun(2)
  jobs().held[1]?.end(new Error('second fault'))
  await here.settled()
  expect(jobs().faults).toMatchObject([{ message: 'first fault' }, { message: 'second fault' }])
  expect(jobs().failed).toMatchObject([{ key: 'one', reason: OUR_FAULT }])
})

test('a failure that another attempt would not mend is final at once', async () => {
  await jobs().ask('a', 'one')
  const here = jobs().runner()
  here.wake()
  await jobs().begun(1)
  jobs().endOf('one', new JobFailed('There is nothing to plan.'))
  await here.settled()
  expect(await jobs().rowOf('one')).toMatchObject({
    state: 'FAILED',
    attempts: 1,
    failure: 'There is nothing to plan.',
  })
  expect(jobs().failed).toEqual([{ key: 'one', reason: 'There is nothing to plan.', worthRepeating: false }])
  expect(jobs().faults).toEqual([])
})

test('a payload that cannot be read fails the job', async () => {
  await jobs().ask('a', 'one')
  await client.job.updateMany({ data: { payload: { other: 1 } } })
  const here = jobs().runner()
  here.wake()
  await here.settled()
  expect(await jobs().rowOf('one')).toMatchObject({ state: 'FAILED' })
  expect(jobs().failed).toMatchObject([{ key: 'one' }])
})

test('a process that stops gives its jobs back, which counts as no attempt', async () => {
  await jobs().ask('a', 'one')
  const here = jobs().runner()
  here.wake()
  await jobs().begun(1)
  await here.stop()
  const there = jobs().runner()
  there.wake()
  await jobs().begun(2)
  expect(jobs().held[1]?.attempt.number).toBe(1)
  jobs().held[1]?.end()
  await there.settled()
  expect(await jobs().rowOf('one')).toMatchObject({ state: 'DONE', attempts: 1 })
})

test('where no other process can use the database, what the last one worked on is begun again at once', async () => {
  await jobs().ask('a', 'one')
  jobs().runner().wake()
  await jobs().begun(1)
  await expireLeases(client)
  jobs().runner().wake()
  await jobs().begun(2)
})

test('many jobs and many writers on one connection get through without standing in each other’s way', async () => {
  const here = jobs().runner({ planning: 4 })
  const writers = Array.from({ length: 20 }, async (_, index) => {
    await jobs().ask(['a', 'b', 'c'][index % 3] ?? 'a', `job ${index}`, { of: index % 2 ? jobs().quick : jobs().kind })
    here.wake()
  })
  const ending = (async () => {
    for (let ended = 0; ended < 20; ended += 1) {
      await jobs().begun(ended + 1)
      await jobs().held[ended]?.attempt.note(async (tx) => tx.distributor.count())
      jobs().held[ended]?.end()
    }
  })()
  await Promise.all([...writers, ending])
  await here.settled()
  expect(await client.job.count({ where: { state: 'DONE' } })).toBe(20)
  expect(jobs().faults).toEqual([])
})
