// Wrong input about orders: a typed error that names the path and says what to do, and nothing is written.
import { expect, test } from 'vitest'
import { InvalidInput, Refusal } from '../../../src/errors.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { amendOrder } from '../../../src/resolvers/orders/amend-order.ts'
import { cancelOrder } from '../../../src/resolvers/orders/cancel-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { createAccount } from '../../../src/resolvers/setup/account.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, scenario, stored } = await openPlannedDemo()
const { today, horizonDays, accounts } = scenario.problem
const account = { externalRef: scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? '' }
const pack = { externalRef: 'MAR-KEG50' }
const serveOn = addDays(today, 10)
const good = { account, serveOn, accept: 'AS_DEMAND', lines: [{ pack, quantity: 1 }] }
const withLine = (line: object) => ({ ...good, lines: [{ pack, quantity: 1, ...line }] })

await createAccount(actor, { externalRef: 'NO-ROUTE', name: 'On an island', routes: [] })
await placeOrder(actor, { ...good, externalRef: 'TAKEN', lines: [{ pack, quantity: 1, externalRef: 'TAKEN/1' }] })

const BAD: [string, object, string, string][] = [
  ['an unknown account', { ...good, account: { externalRef: 'NO-SUCH-ACCOUNT' } }, 'account', 'UNKNOWN_REFERENCE'],
  ['an id that is none', { ...good, account: { id: 'what?' } }, 'account', 'UNKNOWN_REFERENCE'],
  [
    'a reference of both kinds',
    { ...good, account: { id: 'x', externalRef: 'y' } },
    'account.externalRef',
    'WRONG_TYPE',
  ],
  ['an account without a route', { ...good, account: { externalRef: 'NO-ROUTE' } }, 'account', 'ACCOUNT_WITHOUT_ROUTE'],
  ['a pack that does not exist', withLine({ pack: { externalRef: 'NONE' } }), 'lines[0].pack', 'UNKNOWN_REFERENCE'],
  ['a quantity of zero', withLine({ quantity: 0 }), 'lines[0].quantity', 'OUT_OF_RANGE'],
  ['half a cask', withLine({ quantity: 0.5 }), 'lines[0].quantity', 'NOT_WHOLE'],
  ['a thousand million casks', withLine({ quantity: 1_000_000_000 }), 'lines[0].quantity', 'OUT_OF_RANGE'],
  ['a past day', { ...good, serveOn: addDays(today, -1) }, 'serveOn', 'SERVE_DAY_PAST'],
  ['a past day of a line', withLine({ serveOn: addDays(today, -1) }), 'lines[0].serveOn', 'SERVE_DAY_PAST'],
  ['a day too far', { ...good, serveOn: addDays(today, horizonDays) }, 'serveOn', 'SERVE_DAY_BEYOND_HORIZON'],
  ['31 February', { ...good, serveOn: '2027-02-31' }, 'serveOn', 'NO_SUCH_DATE'],
  ['no day at all', { ...good, serveOn: undefined }, 'lines[0].serveOn', 'MISSING_VALUE'],
  ['latest before wanted', withLine({ latestServeOn: today }), 'lines[0].latestServeOn', 'LATEST_BEFORE_SERVE'],
  [
    'wanted for more than a year',
    withLine({ latestServeOn: addDays(serveOn, 367) }),
    'lines[0].latestServeOn',
    'OUT_OF_RANGE',
  ],
  ['no lines', { ...good, lines: [] }, 'lines', 'BAD_LENGTH'],
  ['too many lines', { ...good, lines: Array.from({ length: 201 }, () => good.lines[0]) }, 'lines', 'BAD_LENGTH'],
  ['a priority that is none', withLine({ priority: 4 }), 'lines[0].priority', 'UNKNOWN_CHOICE'],
  ['an unknown way to accept', { ...good, accept: 'PERHAPS' }, 'accept', 'UNKNOWN_CHOICE'],
  ['an unknown key', { ...good, colour: 'pale' }, 'colour', 'UNKNOWN_KEY'],
]

async function refusalOf(work: Promise<unknown>): Promise<Refusal> {
  const error: unknown = await work.then(
    () => undefined,
    (thrown: unknown) => thrown,
  )
  if (!(error instanceof Refusal)) throw error ?? new Error('it was not refused')
  return error
}

test.each(BAD)('%s is refused', async (_, input, path, code) => {
  const before = await stored()
  const refusal = await refusalOf(placeOrder(actor, input))
  expect(refusal).toBeInstanceOf(InvalidInput)
  expect(refusal).toMatchObject({ issues: [{ path, code }] })
  expect(refusal.action).toMatch(/\.$/)
  expect(await stored()).toEqual(before)
})

const ONLY_RESERVED = { account, serveOn, lines: good.lines, minutes: 30, externalRef: 'HELD' }

test('what is missing or in the way is said with what can be given or done instead', async () => {
  const { accept: _, ...without } = good
  const ways = expect.stringMatching(/: ON_TIME_ONLY, LATER or AS_DEMAND$/)
  expect(await refusalOf(placeOrder(actor, without))).toMatchObject({ issues: [{ path: 'accept', message: ways }] })
  const order = { externalRef: 'TAKEN' }
  const addLines = [{ pack, quantity: 1, serveOn }]
  expect(await refusalOf(amendOrder(actor, { order, addLines }))).toMatchObject({
    issues: [{ path: 'accept', message: ways }],
  })
  const dayless = { message: expect.stringMatching(/ask for a promise/) }
  expect(await refusalOf(placeOrder(actor, { ...good, serveOn: undefined }))).toMatchObject({ issues: [dayless] })
  expect(
    await refusalOf(amendOrder(actor, { order, accept: 'LATER', addLines: [{ pack, quantity: 1 }] })),
  ).toMatchObject({ issues: [{ ...dayless, path: 'addLines[0].serveOn', code: 'MISSING_VALUE' }] })
  expect(await refusalOf(placeOrder(actor, { ...good, lines: undefined }))).toMatchObject({
    issues: [{ path: 'lines', message: 'no lines are given; name some, or give an offer' }],
  })

  await reserveBeer(actor, ONLY_RESERVED)
  const { order: reserved } = await client.reservation.findFirstOrThrow({
    where: { externalRef: 'HELD' },
    include: { order: true },
  })
  expect(await refusalOf(cancelOrder(actor, { order: { number: reserved.number } }))).toMatchObject({
    code: 'STATUS_FORBIDS',
    message: `Order ${reserved.number} is only reserved: confirm or release its reservation.`,
  })
})

test('everything that is wrong is answered at once', async () => {
  const lines = [
    { pack: { externalRef: 'NONE' }, quantity: 1, serveOn: addDays(today, -2) },
    { pack, quantity: 1, externalRef: 'A' },
    { pack, quantity: 1, externalRef: 'A' },
  ]
  const refusal = await refusalOf(placeOrder(actor, { ...good, account: { externalRef: 'NO-SUCH-ACCOUNT' }, lines }))
  expect(refusal).toMatchObject({
    issues: [
      { path: 'account', code: 'UNKNOWN_REFERENCE' },
      { path: 'lines[0].pack', code: 'UNKNOWN_REFERENCE' },
      { path: 'lines[0].serveOn', code: 'SERVE_DAY_PAST' },
      { path: 'lines[2].externalRef', code: 'DUPLICATE_ENTRY' },
    ],
  })
})

test('two orders, or two lines, with one external reference are a conflict', async () => {
  const orders = await client.order.count()
  expect(await refusalOf(placeOrder(actor, { ...good, externalRef: 'TAKEN' }))).toMatchObject({
    code: 'EXTERNAL_REF_TAKEN',
    message: 'Another order has the reference "TAKEN".',
  })
  expect(await refusalOf(placeOrder(actor, withLine({ externalRef: 'TAKEN/1' })))).toMatchObject({
    code: 'EXTERNAL_REF_TAKEN',
    message: 'Another order line has the reference "TAKEN/1", and is just as you say.',
  })
  expect(await client.order.count()).toBe(orders)
})

test('an order that does not exist is neither amended nor cancelled', async () => {
  const order = { externalRef: 'NEVER' }
  expect(await refusalOf(cancelOrder(actor, { order }))).toMatchObject({ code: 'NO_SUCH_THING', entityType: 'Order' })
  const amending = amendOrder(actor, { order, accept: 'LATER', cancelLines: [{ externalRef: 'TAKEN/1' }] })
  expect(await refusalOf(amending)).toMatchObject({ code: 'NO_SUCH_THING' })
})

test('a line of another order cannot be amended, and no line is left out of all', async () => {
  await placeOrder(actor, { ...good, externalRef: 'OTHER' })
  const line = { externalRef: 'TAKEN/1' }
  const foreign = amendOrder(actor, { order: { externalRef: 'OTHER' }, accept: 'LATER', cancelLines: [line] })
  expect(await refusalOf(foreign)).toMatchObject({ issues: [{ path: 'cancelLines[0]', code: 'UNKNOWN_REFERENCE' }] })
  const emptied = amendOrder(actor, { order: { externalRef: 'TAKEN' }, accept: 'LATER', cancelLines: [line] })
  expect(await refusalOf(emptied)).toMatchObject({ issues: [{ path: 'cancelLines', code: 'EMPTY_LIST' }] })
  const nothing = amendOrder(actor, { order: { externalRef: 'TAKEN' }, accept: 'LATER' })
  expect(await refusalOf(nothing)).toMatchObject({ issues: [{ code: 'NOTHING_TO_CHANGE' }] })
})

test('a wrong question is refused like a wrong order', async () => {
  const { accept: _, ...asked } = good
  expect(await refusalOf(promise(actor, { ...asked, lines: [{ pack, quantity: 0 }] }))).toMatchObject({
    issues: [{ path: 'lines[0].quantity', code: 'OUT_OF_RANGE' }],
  })
  expect(await refusalOf(promise(actor, { ...asked, serveOn: '2027-02-31' }))).toMatchObject({
    issues: [{ path: 'serveOn', code: 'NO_SUCH_DATE' }],
  })
})

test('without a plan in force a wish is taken and a promise is not', async () => {
  await client.plan.updateMany({ where: { status: 'IN_FORCE' }, data: { status: 'PAST', replacedAt: new Date() } })
  await client.distributor.updateMany({ data: { revision: { increment: 1 } } })
  await placeOrder(actor, { ...good, externalRef: 'WISH' })
  expect(await refusalOf(placeOrder(actor, { ...good, accept: 'LATER' }))).toMatchObject({ code: 'NO_PLAN_IN_FORCE' })
  const { accept: _, ...asked } = good
  expect(await refusalOf(promise(actor, asked))).toMatchObject({ code: 'NO_PLAN_IN_FORCE' })
  await cancelOrder(actor, { order: { externalRef: 'WISH' } })
})
