// Amendments that are tried first, that would cost a promise, that meet somebody else's, or come too late.
import { afterEach, expect, test } from 'vitest'
import { Refusal } from '../../../src/errors.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { mayReadWith } from '../../../src/resolvers/access/may-read.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { amendOrder } from '../../../src/resolvers/orders/amend-order.ts'
import { cancelOrder } from '../../../src/resolvers/orders/cancel-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, scenario, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today, accounts } = scenario.problem
const account = { id: encodeGlobalId('Account', accounts[0]?.id ?? '') }
const IN_STOCK = { externalRef: 'MAR-KEG50' }
const TO_BREW = { externalRef: 'BLO-FIRKIN' }
const serveOn = addDays(today, 10)
const lateDay = addDays(today, 20)

const place = (externalRef: string, extra: object = {}) =>
  placeOrder(actor, {
    account,
    externalRef,
    serveOn,
    accept: 'ON_TIME_ONLY',
    lines: [{ pack: IN_STOCK, quantity: 1, externalRef: `${externalRef}/1`, ...extra }],
  })
const lineOf = (externalRef: string) =>
  client.orderLine.findFirstOrThrow({ where: { distributorId, externalRef: `${externalRef}/1` } })
const amending = (externalRef: string, change: object, extra: object = {}) => ({
  order: { externalRef },
  accept: 'ON_TIME_ONLY',
  changeLines: [{ line: { externalRef: `${externalRef}/1` }, ...change }],
  ...extra,
})

// The demo has little in stock: each test gives back what it took.
afterEach(async () => {
  const open = await client.order.findMany({ where: { distributorId, status: 'OPEN', externalRef: { in: TAKEN } } })
  for (const { externalRef } of open) await cancelOrder(actor, { order: { externalRef } })
})
const TAKEN = ['DRY', 'WORSE', 'KEEP', 'NULLS', 'TWO', 'TWO-NEW', 'PAST', 'LEFT', 'NOTE']

async function refusalOf(work: Promise<unknown>): Promise<Refusal> {
  const error: unknown = await work.then(
    () => undefined,
    (thrown: unknown) => thrown,
  )
  if (!(error instanceof Refusal)) throw error ?? new Error('it was not refused')
  return error
}

test('a dry run tells line by line what would become of it, and writes nothing; the same in earnest does just that', async () => {
  await place('DRY')
  const before = await stored()
  const entries = await client.changeLogEntry.count()
  const change = amending('DRY', { quantity: 3, pack: TO_BREW }, { accept: 'LATER' })
  const dry = await amendOrder(actor, { ...change, dryRun: true })
  expect(dry).toMatchObject({
    dryRun: true,
    revision: before.revision,
    outcome: [{ quantity: 3, promisedBefore: serveOn, expectedBefore: serveOn, served: 3 }],
  })
  expect(await stored()).toEqual(before)
  expect(await client.changeLogEntry.count()).toBe(entries)
  expect(await lineOf('DRY')).toMatchObject({ quantity: 1 })
  const done = await amendOrder(actor, change)
  expect(done.outcome).toEqual(dry.outcome)
  expect(done.revision).toBe(before.revision + 1)
  await expectValid()

  const cancelled = await cancelOrder(actor, { order: { externalRef: 'DRY' }, dryRun: true })
  expect(cancelled.outcome).toMatchObject([{ promisedBefore: done.outcome[0]?.promisedOn, served: 0 }])
  expect(await lineOf('DRY')).toMatchObject({ status: 'OPEN' })
  const placed = await placeOrder(actor, {
    account,
    serveOn,
    accept: 'LATER',
    lines: [{ pack: IN_STOCK, quantity: 1 }],
    dryRun: true,
  })
  expect(placed.outcome).toMatchObject([{ promisedOn: serveOn, served: 1 }])
  expect(await client.order.count({ where: { id: placed.id } })).toBe(0)
})

test('a change that would cost a line its promise is refused with reasons, unless a later day is accepted', async () => {
  await place('WORSE')
  const before = await stored()
  const change = { pack: TO_BREW, quantity: 3, serveOn: addDays(today, 3) }
  const sooner = await refusalOf(amendOrder(actor, amending('WORSE', change)))
  expect(sooner).toMatchObject({ kind: 'NOT_POSSIBLE' })
  expect(sooner).toHaveProperty('reasons.0.code')
  const bigger = await refusalOf(amendOrder(actor, amending('WORSE', { quantity: 5000 })))
  expect(bigger).toMatchObject({ code: 'PROMISE_WORSENS' })
  expect(await stored()).toEqual(before)
  const { outcome } = await amendOrder(actor, amending('WORSE', change, { accept: 'LATER' }))
  expect(outcome[0]?.promisedOn?.localeCompare(addDays(today, 3))).toBe(1)
  const wish = await amendOrder(actor, amending('WORSE', { quantity: 1 }, { accept: 'AS_DEMAND' }))
  expect(wish.outcome[0]?.promisedOn).toBeUndefined()
  await expectValid()
})

test('a line that was promised later keeps that day when another thing of it changes', async () => {
  const order = await placeOrder(actor, {
    account,
    externalRef: 'KEEP',
    serveOn: addDays(today, 3),
    accept: 'LATER',
    lines: [{ pack: TO_BREW, quantity: 3, externalRef: 'KEEP/1' }],
  })
  const promisedOn = order.outcome[0]?.promisedOn ?? ''
  expect(promisedOn > addDays(today, 3)).toBe(true)
  for (const accept of ['ON_TIME_ONLY', 'LATER']) {
    const { outcome } = await amendOrder(actor, amending('KEEP', { quantity: 2 }, { accept }))
    expect([promisedOn, outcome[0]?.promisedOn].sort().at(-1)).toBe(promisedOn)
  }
  await expectValid()
})

test('null takes a latest day and a note away', async () => {
  await place('NULLS', { latestServeOn: lateDay })
  await amendOrder(actor, { order: { externalRef: 'NULLS' }, accept: 'LATER', note: 'ring first' })
  expect((await lineOf('NULLS')).latestServeOn).not.toBeNull()
  await amendOrder(actor, amending('NULLS', { latestServeOn: null }, { note: null }))
  expect((await lineOf('NULLS')).latestServeOn).toBeNull()
  const order = await client.order.findFirstOrThrow({ where: { externalRef: 'NULLS' } })
  expect(order.note).toBeNull()
})

test('of two people who amend one order the second is shown what the first changed', async () => {
  const { revision } = await place('TWO')
  const first = await amendOrder(actor, amending('TWO', { quantity: 2 }, { ifRevision: revision }))
  const before = await stored()
  const second = amendOrder(actor, amending('TWO', { quantity: 3 }, { ifRevision: revision }))
  const refusal = await refusalOf(second)
  expect(refusal).toMatchObject({
    code: 'ORDER_CHANGED',
    changes: [{ what: 'lines[0].quantity', before: '1', now: '2', event: 'ORDER_AMENDED', revision: first.revision }],
  })
  expect(refusal.message).toContain('quantity of line 1: 1 → 2')
  const cancelling = cancelOrder(actor, { order: { externalRef: 'TWO' }, ifRevision: revision })
  expect(await refusalOf(cancelling)).toMatchObject({ code: 'ORDER_CHANGED' })
  expect(await stored()).toEqual(before)
  await amendOrder(actor, amending('TWO', { quantity: 1 }, { ifRevision: first.revision }))
  expect(await lineOf('TWO')).toMatchObject({ quantity: 1 })
})

test('one who may not read orders is shown that the order was changed, and not how', async () => {
  const { revision } = await place('HIDDEN')
  await amendOrder(actor, amending('HIDDEN', { quantity: 2 }, { ifRevision: revision }))
  const writer = { ...actor, mayRead: mayReadWith(new Set(['orders:write'])) }
  const expected = { code: 'ORDER_CHANGED', changes: [], message: `Since revision ${revision} the order was changed.` }
  const amended = amendOrder(writer, amending('HIDDEN', { quantity: 3 }, { ifRevision: revision }))
  expect(await refusalOf(amended)).toMatchObject(expected)
  const cancelled = cancelOrder(writer, { order: { externalRef: 'HIDDEN' }, ifRevision: revision })
  expect(await refusalOf(cancelled)).toMatchObject(expected)
})

test('who names a revision from before the order came is shown that it came, value by value', async () => {
  const { revision: earlier } = await stored()
  const { revision } = await place('TWO-NEW')
  await amendOrder(actor, { order: { externalRef: 'TWO-NEW' }, note: 'ring first' })
  const refusal = await refusalOf(amendOrder(actor, amending('TWO-NEW', { quantity: 2 }, { ifRevision: earlier })))
  expect(refusal).toMatchObject({
    code: 'ORDER_CHANGED',
    changes: [
      { what: 'number', before: null, now: expect.stringMatching(/^\d+$/), event: 'ORDER_PLACED', revision },
      { what: 'note', before: null, now: 'ring first', event: 'ORDER_AMENDED' },
    ],
  })
  expect(refusal.message).not.toMatch(/[{}[\]]/)
})

test('what was delivered is not amended, and no line is moved into the past', async () => {
  await place('PAST')
  expect(await refusalOf(amendOrder(actor, amending('PAST', { serveOn: addDays(today, -1) })))).toMatchObject({
    issues: [{ path: 'changeLines[0].serveOn', code: 'SERVE_DAY_PAST' }],
  })
  const { id } = await lineOf('PAST')
  await client.orderLine.update({
    where: { distributorId_id: { distributorId, id } },
    data: { status: 'DELIVERED' },
  })
  expect(await refusalOf(amendOrder(actor, amending('PAST', { quantity: 2 })))).toMatchObject({
    code: 'STATUS_FORBIDS',
    message: expect.stringMatching(/delivered/),
  })
  await client.order.updateMany({ where: { externalRef: 'PAST' }, data: { status: 'DELIVERED' } })
  expect(await refusalOf(cancelOrder(actor, { order: { externalRef: 'PAST' } }))).toMatchObject({
    code: 'STATUS_FORBIDS',
  })
  expect(await lineOf('PAST')).toMatchObject({ quantity: 1 })
})

test('what has left a site keeps its pack and day, is not withdrawn, and its quantity stays at least what has been delivered', async () => {
  await place('LEFT', { quantity: 4 })
  const { id } = await lineOf('LEFT')
  const where = { distributorId_id: { distributorId, id } }
  await client.orderLine.update({ where, data: { dispatched: 3, delivered: 2 } })
  await client.distributor.updateMany({ data: { revision: { increment: 1 } } })
  const before = await stored()
  expect(before.problem.orderLines.find((line) => line.id === id)).toMatchObject({ quantity: 1 })

  const dispatched = { code: 'ALREADY_DISPATCHED', message: expect.stringMatching(/3 of 4 have left/) }
  for (const change of [{ quantity: 2 }, { pack: TO_BREW }, { serveOn: lateDay }])
    expect(await refusalOf(amendOrder(actor, amending('LEFT', change)))).toMatchObject(dispatched)
  expect(await refusalOf(amendOrder(actor, amending('LEFT', { quantity: 1 })))).toMatchObject({
    issues: [
      {
        path: 'changeLines[0].quantity',
        code: 'BELOW_DELIVERED',
        message: expect.stringMatching(/2 that have been delivered/),
      },
    ],
  })
  const order = { externalRef: 'LEFT' }
  expect(await refusalOf(cancelOrder(actor, { order }))).toMatchObject(dispatched)
  const withdrawing = amendOrder(actor, { order, cancelLines: [{ externalRef: 'LEFT/1' }] })
  expect(await refusalOf(withdrawing)).toMatchObject({
    ...dispatched,
    message: expect.stringMatching(/^cancelLines\[0\]: 3 of 4/),
  })
  expect(await stored()).toEqual(before)

  await amendOrder(actor, amending('LEFT', { quantity: 3 }))
  const left = await expectValid()
  expect(left.problem.orderLines.some((line) => line.id === id)).toBe(false)
  const more = await amendOrder(actor, amending('LEFT', { quantity: 5 }))
  expect(more.outcome).toMatchObject([{ lineId: id, quantity: 2, promisedOn: serveOn, served: 2 }])
  expect(await lineOf('LEFT')).toMatchObject({ quantity: 5, dispatched: 3, delivered: 2 })
  await expectValid()
  // One is closed short: of seven, three have left and one is not sent any more.
  await client.orderLine.update({ where, data: { closedShort: 1 } })
  await client.distributor.updateMany({ data: { revision: { increment: 1 } } })
  const closedShort = await amendOrder(actor, amending('LEFT', { quantity: 7 }))
  expect(closedShort.outcome).toMatchObject([{ lineId: id, quantity: 3 }])
  await client.orderLine.update({ where, data: { dispatched: 0, delivered: 0, closedShort: 0 } })
  await client.distributor.updateMany({ data: { revision: { increment: 1 } } })
})

test('a note is changed without saying what is accepted; a line is not', async () => {
  await place('NOTE')
  await amendOrder(actor, { order: { externalRef: 'NOTE' }, note: 'back door' })
  const { accept: _, ...change } = amending('NOTE', { quantity: 2 })
  expect(await refusalOf(amendOrder(actor, change))).toMatchObject({
    issues: [{ path: 'accept', code: 'MISSING_VALUE' }],
  })
})
