// At night no one asks for anything: the day is rolled all the same.
import { expect, test } from 'vitest'
import { enqueueDaily } from '../../../src/jobs/daily.ts'
import { ROLL_DAYS } from '../../../src/resolvers/floor/roll-nightly.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, clock, actor, faults, expectValid } = await openPlannedDemo()
const { distributorId } = actor

test('five minutes after midnight the day that is over is rolled, once, and the plan in force is valid for the new day', async () => {
  const evening = clock.now()
  await enqueueDaily({ client, clock, onFault: (error) => faults.push(error) }, [ROLL_DAYS])
  const [job] = await client.job.findMany({ where: { distributorId, kind: 'ROLL_DAYS' } })
  if (!job) throw new Error('the day is to be rolled')
  expect(job.runAfter.getTime()).toBeGreaterThan(evening.getTime())
  clock.set(job.runAfter)
  actor.jobs.wake()
  await actor.jobs.settled()
  expect(faults).toEqual([])
  const rolled = { distributorId, kind: 'DAYS_ROLLED' }
  expect(await client.changeLogEntry.count({ where: rolled })).toBe(1)
  await expectValid()

  await enqueueDaily({ client, clock, onFault: (error) => faults.push(error) }, [ROLL_DAYS])
  const waiting = await client.job.findFirstOrThrow({ where: { distributorId, kind: 'ROLL_DAYS', state: 'WAITING' } })
  expect(waiting.runAfter.getTime() - job.runAfter.getTime()).toBe(86_400_000)
  expect(await client.changeLogEntry.count({ where: rolled })).toBe(1)
})
