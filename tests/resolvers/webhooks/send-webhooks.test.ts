// Many messages that wait are sent as fast as few are, in order for each thing, by one process at a time, and after one that was killed by another.
import { afterAll, beforeEach, expect, test } from 'vitest'
import { openTestDatabase } from '../../support/database.ts'
import { processorTime } from '../../support/processor-time.ts'
import { LONG, WHOLE } from '../../support/sampled.ts'
import { openReceiver, outOfOrder } from './receiver.ts'

const database = await openTestDatabase()
const { client, clock } = database
const { heard, faults, answers, runner, reset, letWait, came, close } = await openReceiver(database)
beforeEach(reset)
afterAll(async () => {
  await close()
  expect(faults).toEqual([])
})

test('thousands of messages that wait are sent at a rate that does not fall with their number', async () => {
  /** Milliseconds of the processor until 200 of so many have come. */
  const took = async (count: number) => {
    await reset()
    await letWait('thing ', count, count / 2)
    const sending = runner()
    const { took } = await processorTime(async () => {
      sending.wake()
      await came(LONG ? count : 200)
    })
    await sending.stop()
    expect(outOfOrder(heard)).toEqual([])
    return LONG ? took / count : took / 200
  }
  // What is compiled, is compiled before.
  await took(200)
  expect((await took(WHOLE ? 10_000 : 2_000)) / (await took(500))).toBeLessThan(3)
})

test('messages about one thing are sent in order, those about others beside them', async () => {
  let together = 0
  let most = 0
  answers.statusOf = async () => {
    together += 1
    most = Math.max(most, together)
    await new Promise((resolve) => setTimeout(resolve, 10))
    together -= 1
    return 204
  }
  await letWait('thing ', 60, 6)
  const sending = runner()
  sending.wake()
  await sending.settled()
  expect(heard).toHaveLength(60)
  expect(outOfOrder(heard)).toEqual([])
  expect(most).toBeGreaterThan(3)
  expect(most).toBeLessThanOrEqual(8)
})

test('what stands behind a message that failed holds nothing else up, and comes after it in order', async () => {
  let fails = true
  answers.statusOf = async ({ thing }) => (fails && thing === 'failing 0' ? 500 : 204)
  await letWait('failing ', 150, 1)
  await letWait('other ', 3, 3)
  const sending = runner()
  sending.wake()
  await sending.settled()
  expect(heard.map(({ thing }) => thing).toSorted()).toEqual(['failing 0', 'other 0', 'other 1', 'other 2'])
  await letWait('failing ', 1, 1)
  sending.wake()
  await sending.settled()
  expect(heard).toHaveLength(4)
  fails = false
  clock.set(new Date(clock.now().getTime() + 10_000))
  sending.wake()
  await sending.settled()
  expect(heard).toHaveLength(155)
  const revisions = heard.slice(4).map(({ revision }) => revision)
  expect(revisions).toEqual([...Array.from({ length: 150 }, (_, index) => index + 1), 1])
})

test('one process sends for a webhook at a time, and once its lease has run out another does at once', async () => {
  answers.statusOf = () => new Promise(() => undefined)
  const [killed, other] = [runner(), runner()]
  await letWait('thing ', 2, 1)
  killed.wake()
  await came(1)
  await letWait('another ', 1, 1)
  other.wake()
  await other.settled()
  expect(heard).toHaveLength(1)
  await client.$executeRaw`UPDATE "Job" SET "leaseUntil" = now() - interval '1 second' WHERE "state" = 'RUNNING'`
  answers.statusOf = async () => 204
  other.wake()
  await other.settled()
  expect(heard.slice(1).toSorted((a, b) => a.thing.localeCompare(b.thing))).toEqual([
    { thing: 'another 0', revision: 1 },
    { thing: 'thing 0', revision: 1 },
    { thing: 'thing 0', revision: 2 },
  ])
  expect(outOfOrder(heard)).toEqual([])
  killed.checkLeases()
  await killed.settled()
  expect(await client.webhookDelivery.count({ where: { state: 'WAITING' } })).toBe(0)
})

test('faults of ours do not end it: after two attempts it is tried again in a minute', async () => {
  await letWait('thing ', 1, 1)
  const sending = runner()
  await client.$executeRaw`UPDATE "Webhook" SET "url" = 'http://[not an address]/'`
  sending.wake()
  await sending.settled()
  expect(faults.splice(0)).toHaveLength(2)
  await client.$executeRaw`UPDATE "Webhook" SET "url" = 'http://127.0.0.1:1/'`
  clock.set(new Date(clock.now().getTime() + 60_000))
  sending.wake()
  await sending.settled()
  expect(await client.webhookDelivery.findFirst()).toMatchObject({ attempts: 1, state: 'WAITING' })
})
