// What the executor does with a command, shown on made-up commands that note something about a made-up order.
import { setTimeout as wait } from 'node:timers/promises'
import { expect, test, vi } from 'vitest'
import { todayIn } from '../../../src/clock.ts'
import type { Committed } from '../../../src/database/distributor-lock.ts'
import { withDistributorLock } from '../../../src/database/distributor-lock.ts'
import { Conflict } from '../../../src/errors.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import type { Command, Once, ReadContext, Records } from '../../../src/resolvers/commands/command.ts'
import { CommandExecutor } from '../../../src/resolvers/commands/executor.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { amendOrder } from '../../../src/resolvers/orders/amend-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, clock, actor, scenario, stored, expectValid } = await openPlannedDemo()
const { distributorId, executor } = actor
const account = { id: encodeGlobalId('Account', scenario.problem.accounts[0]?.id ?? '') }
const [pack] = Object.values(scenario.names.packs ?? {}).map(({ externalRef = '' }) => ({ externalRef }))
const order = { account, lines: [{ pack, quantity: 1 }], serveOn: addDays(scenario.problem.today, 12) }

interface Stages {
  /** How often each stage has run. */
  prepared: number
  decided: number
}

/** A command that notes `id` in the change log; `prepare` and `decide` are called by its stages. */
function noting(
  id: string,
  { prepare, decide }: { prepare?: (context: ReadContext) => unknown; decide?: (records: Records) => void } = {},
): { command: Command<string, string>; stages: Stages } {
  const stages = { prepared: 0, decided: 0 }
  const command: Command<string, string> = {
    prepare: async (context) => {
      stages.prepared += 1
      context.dependOn(id)
      await prepare?.(context)
      return id
    },
    decide: (records, prepared) => {
      stages.decided += 1
      decide?.(records)
      return {
        answer: `noted ${prepared}`,
        writes: [],
        entries: [['ORDER_AMENDED', { type: 'Order', id: prepared }, undefined, { id: prepared }]],
      }
    },
  }
  return { command, stages }
}

const refusal = () => {
  throw new Conflict('STATUS_FORBIDS', 'no')
}
const fault = () => {
  throw new Error('broken')
}

const notesSince = async (revision: number) => {
  const entries = await client.changeLogEntry.findMany({
    where: { distributorId, revision: { gt: revision } },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
  })
  return entries.map(({ entityId, revision: at }) => [entityId, at - revision])
}

/** Has a snapshot in memory, so that commands are prepared without the lock. */
const warm = () => promise(actor, order)

const snapshotNow = async () => {
  const version = await stored()
  const moment = { today: todayIn(clock, 'Europe/London'), at: clock.now() }
  return actor.snapshots.inMemory(distributorId, version, moment)
}

test('a write that is refused or runs dry keeps the snapshot that it loaded, so that the next one loads none', async () => {
  const refused = noting('refused', { decide: refusal }).command
  for (const envelope of [{ command: refused }, { command: noting('dry').command, dryRun: true }]) {
    actor.snapshots.drop(distributorId)
    await Promise.allSettled([executor.execute(actor, envelope)])
    const { revision } = await stored()
    expect(await snapshotNow()).toMatchObject({ distributorId, revision })
  }
})

test('a command is prepared before the lock is taken, decided once, and answered with its revision', async () => {
  await warm()
  const before = await stored()
  let isLockFree = false
  const { command, stages } = noting('one', {
    prepare: async () => {
      // Behind the lock this would wait for itself.
      await withDistributorLock(actor, distributorId, async () => {})
      isLockFree = true
    },
  })
  expect(await executor.execute(actor, { command })).toEqual({ result: 'noted one', revision: before.revision + 1 })
  expect({ ...stages, isLockFree }).toEqual({ prepared: 1, decided: 1, isLockFree: true })
  expect(await notesSince(before.revision)).toEqual([['one', 1]])
  expect((await snapshotNow())?.revision).toBe(before.revision + 1)
})

test('of several that come at once one is refused, one fails and one runs dry; the others are written all the same', async () => {
  await warm()
  const before = await stored()
  const failing = noting('faulty', { decide: fault })
  const answers = await Promise.allSettled([
    executor.execute(actor, { command: noting('a').command }),
    executor.execute(actor, { command: noting('refused early', { prepare: refusal }).command }),
    executor.execute(actor, { command: noting('refused late', { decide: refusal }).command }),
    executor.execute(actor, { command: failing.command }),
    executor.execute(actor, { command: noting('dry').command, dryRun: true }),
    executor.execute(actor, { command: noting('b').command }),
  ])
  expect(answers.map((each) => (each.status === 'fulfilled' ? each.value.result : each.reason.message))).toEqual([
    'noted a',
    'no',
    'no',
    'broken',
    'noted dry',
    'noted b',
  ])
  expect((await notesSince(before.revision)).map(([id]) => id).sort()).toEqual(['a', 'b'])
  // Once with the others, and once more alone: it is unknown beforehand whose fault it is.
  expect(failing.stages.decided).toBe(2)
})

test('after a fault the plan in force is opened anew from its rows, after a refusal or a dry run it is kept as it was', async () => {
  await warm()
  const kept = await snapshotNow()
  const plan = kept?.inForce?.live().plan
  expect(plan).toBeDefined()
  const asked = JSON.stringify(await promise(actor, order))
  await expect(executor.execute(actor, { command: noting('x', { decide: refusal }).command })).rejects.toThrow('no')
  await placeOrder(actor, { ...order, accept: 'LATER', dryRun: true })
  expect(await snapshotNow()).toBe(kept)
  expect(kept?.inForce?.live().plan).toEqual(plan)
  expect(JSON.stringify(await promise(actor, order))).toBe(asked)
  await expect(executor.execute(actor, { command: noting('x', { decide: fault }).command })).rejects.toThrow('broken')
  expect(await snapshotNow()).toBeUndefined()
  expect(JSON.stringify(await promise(actor, order))).toBe(asked)
})

test('a transaction that the database gives up is done again, whole', async () => {
  const before = await stored()
  let attempts = 0
  const once: Once<string> = {
    key: 'conflicting',
    find: async (tx) => {
      attempts += 1
      if (attempts < 3)
        await tx.$executeRawUnsafe(`DO $$ BEGIN RAISE EXCEPTION 'gave up' USING ERRCODE = '40001'; END $$`)
      return undefined
    },
    keep: () => [],
  }
  const { command } = noting('again')
  expect(await executor.execute(actor, { command, once })).toEqual({
    result: 'noted again',
    revision: before.revision + 1,
  })
  expect(attempts).toBe(3)
  expect(await notesSince(before.revision)).toEqual([['again', 1]])
})

/** First answers in their table, as a store of callers' keys would keep them. */
function inTable(key: string): Once<string> {
  return {
    key,
    find: async (tx) => {
      const row = await tx.idempotencyKey.findUnique({ where: { distributorId_key: { distributorId, key } } })
      return row ? (JSON.parse(JSON.stringify(row.response)) as Committed<string>) : undefined
    },
    keep: (first) => [
      {
        model: 'IdempotencyKey',
        rows: [{ distributorId, key, payloadHash: 'a'.repeat(64), response: first, createdAt: clock.now() }],
      },
    ],
  }
}

test('commands with one key run once: at the same time, later, and on another server', async () => {
  await warm()
  const before = await stored()
  const send = (by: CommandExecutor) => by.execute(actor, { command: noting('keyed').command, once: inTable('K-1') })
  const answers = await Promise.all([send(executor), send(executor), send(new CommandExecutor())])
  answers.push(await send(executor))
  expect(answers).toEqual(answers.map(() => ({ result: 'noted keyed', revision: before.revision + 1 })))
  expect(await notesSince(before.revision)).toEqual([['keyed', 1]])
})

test('a dry run neither takes a key nor is answered by one', async () => {
  const { revision } = await stored()
  const dry = { command: noting('dry').command, once: inTable('K-2'), dryRun: true }
  expect(await executor.execute(actor, dry)).toEqual({ result: 'noted dry', revision })
  const { result } = await executor.execute(actor, { ...dry, dryRun: false })
  expect(result).toBe('noted dry')
  expect(await notesSince(revision)).toEqual([['dry', 1]])
})

/** How often a command that depends on `id` is prepared where `happens` is committed after its first reading. */
async function preparedAfter(id: string, happens: () => Promise<unknown>): Promise<number> {
  await warm()
  let first = true
  const { command, stages } = noting(id, {
    prepare: async () => {
      if (!first) return
      first = false
      await happens()
    },
  })
  await executor.execute(actor, { command })
  return stages.prepared
}

const logged = (type: string, id: string) => () =>
  withDistributorLock(actor, distributorId, async ({ log }) => log('ORDER_AMENDED', { type, id }, undefined, { id }))

test('what was read before the lock is read again behind it where the change log says that it has changed', async () => {
  expect(await preparedAfter('mine', logged('Order', 'mine'))).toBe(2)
  expect(await preparedAfter('mine', logged('Vessel', 'any'))).toBe(2)
})

test('what was read before the lock is not read again because of other orders', async () => {
  expect(await preparedAfter('mine', logged('Order', 'other'))).toBe(1)
  expect(await preparedAfter('mine', logged('Reservation', 'other'))).toBe(1)
})

test('two amendments of one order that come at once are both done, the second on what the first has left', async () => {
  const { id } = await placeOrder(actor, { ...order, accept: 'LATER' })
  await warm()
  const amend = () =>
    amendOrder(actor, {
      order: { id: encodeGlobalId('Order', id) },
      addLines: [{ pack, quantity: 1, serveOn: order.serveOn }],
      accept: 'AS_DEMAND',
    })
  const answers = await Promise.all([amend(), amend()])
  expect(new Set(answers.map(({ revision }) => revision)).size).toBe(2)
  const lines = await client.orderLine.findMany({
    where: { distributorId, orderId: id },
    orderBy: { lineNumber: 'asc' },
  })
  expect(lines.map(({ lineNumber }) => lineNumber)).toEqual([1, 2, 3])
  await expectValid()
})

test('a lock that cannot be had fails those who wait, and no later one', async () => {
  await warm()
  const spied = vi.spyOn(client, '$transaction').mockRejectedValueOnce(new Error('no connection'))
  try {
    await expect(executor.execute(actor, { command: noting('u').command })).rejects.toThrow('no connection')
  } finally {
    spied.mockRestore()
  }
  await wait(0)
  expect((await executor.execute(actor, { command: noting('v').command })).result).toBe('noted v')
})
