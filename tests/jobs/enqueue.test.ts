// Jobs are asked for in a writer's transaction, and cancelled in one.
import { expect, test } from 'vitest'
import { inTransaction } from '../../src/database/transaction.ts'
import { cancelJobs, enqueue } from '../../src/jobs/enqueue.ts'
import { openJobs } from './some-jobs.ts'

const { client, clock, jobs } = await openJobs()

test('a job is there if and only if the transaction that asked for it commits', async () => {
  const gone = inTransaction(client, async (tx) => {
    await enqueue({ tx, clock }, 'a', jobs().kind, { name: 'gone' })
    throw new Error('the writer gives up')
  })
  await expect(gone).rejects.toThrow('the writer gives up')
  expect(await client.job.count()).toBe(0)
  await jobs().ask('a', 'kept')
  expect(await jobs().rowOf('kept')).toMatchObject({ state: 'WAITING', attempts: 0, payload: { name: 'kept' } })
})

test('a cancelled job is stopped at once, and its result is refused', async () => {
  await jobs().ask('a', 'one')
  const here = jobs().runner()
  here.wake()
  await jobs().begun(1)
  await inTransaction(client, (tx) => cancelJobs({ tx, clock }, { distributorId: 'a', key: 'one' }, jobs().kind))
  here.checkLeases()
  await here.settled()
  expect(jobs().held[0]?.attempt.signal.aborted).toBe(true)
  expect(jobs().written).toEqual([])
  expect(await jobs().rowOf('one')).toMatchObject({ state: 'CANCELLED', failure: null })
})

test('no two jobs wait under one key, and one may wait while another runs', async () => {
  await jobs().ask('a', 'first', { key: 'same' })
  await jobs().ask('a', 'second', { key: 'same' })
  expect(await client.job.count()).toBe(1)
  jobs().runner().wake()
  await jobs().begun(1)
  await jobs().ask('a', 'third', { key: 'same' })
  await jobs().ask('b', 'of another distributor', { key: 'same' })
  expect(await client.job.count({ where: { state: 'WAITING' } })).toBe(2)
})

test('what waits under the key of one that runs is begun once that has ended, or its process has', async () => {
  const [here, there] = [jobs().runner(), jobs().runner()]
  await jobs().ask('a', 'first', { key: 'same' })
  here.wake()
  await jobs().begun(1)
  await jobs().ask('a', 'second', { key: 'same' })
  await jobs().ask('b', 'of another distributor', { key: 'same' })
  there.wake()
  expect(await jobs().begun(2)).toEqual(['first', 'of another distributor'])
  jobs().endOf('first')
  expect(await jobs().begun(3)).toEqual(['first', 'of another distributor', 'second'])
  await jobs().ask('a', 'third', { key: 'same' })
  await client.$executeRaw`UPDATE "Job" SET "leaseUntil" = now() - interval '1 second' WHERE "distributorId" = 'a' AND "state" = 'RUNNING'`
  there.wake()
  await jobs().begun(4)
  // Either of the two that are free, and not both.
  await new Promise((resolve) => setTimeout(resolve, 100))
  expect(jobs().held).toHaveLength(4)
})

test('a job is not begun before its time', async () => {
  await jobs().ask('a', 'later', { runAfter: new Date(clock.now().getTime() + 60_000) })
  const here = jobs().runner()
  here.wake()
  await here.settled()
  expect(jobs().held).toEqual([])
  clock.set(new Date(clock.now().getTime() + 120_000))
  here.wake()
  expect(await jobs().begun(1)).toEqual(['later'])
})
