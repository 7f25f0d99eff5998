// Orders that are sent again by their references: they become what is sent, by an amendment of just what differs.
import { afterEach, expect, test } from 'vitest'
import { Conflict, InvalidInput } from '../../../src/errors.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { cancelOrder } from '../../../src/resolvers/orders/cancel-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, scenario, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today, accounts } = scenario.problem
const [first = '', second = ''] = accounts.map(({ id }) => encodeGlobalId('Account', id))
const PACK = { externalRef: 'MAR-KEG50' }
const OTHER = { externalRef: 'BLO-FIRKIN' }
const serveOn = addDays(today, 20)

const base = { account: { id: first }, serveOn, accept: 'LATER', externalRef: 'UP' }
const line = (quantity: number, extra: object = {}) => ({ pack: PACK, quantity, ...extra })
const send = (lines: object[], more: object = {}) => placeOrder(actor, { ...base, lines, upsert: true, ...more })
const rows = async () => {
  const order = await client.order.findFirstOrThrow({
    where: { distributorId, externalRef: 'UP' },
    include: { lines: { orderBy: { lineNumber: 'asc' } } },
  })
  return order.lines.map(({ id, quantity, status, promisedOn }) => ({ id, quantity, status, promisedOn }))
}
const refusalOf = (work: Promise<unknown>) =>
  work.then(
    () => undefined,
    (error: unknown) => error,
  )

// Each test begins without the order.
afterEach(async () => {
  await client.order.updateMany({ where: { distributorId, externalRef: 'UP' }, data: { externalRef: null } })
  await client.orderLine.updateMany({ where: { distributorId }, data: { externalRef: null } })
})

test('an order is created once, left where it is just so, and amended where it differs; then it is what was sent', async () => {
  expect(await send([line(1)], { note: 'gate' })).toMatchObject({ did: 'CREATED' })
  const before = await stored()
  const again = await send([line(1, { priority: 3, serveOn })], { note: 'gate', accept: 'ON_TIME_ONLY' })
  expect(again).toMatchObject({ did: 'UNCHANGED', revision: before.revision, outcome: [] })
  expect(await stored()).toEqual(before)
  const [{ id = '' } = {}] = await rows()

  const lines = [line(2), line(1, { pack: OTHER, externalRef: 'UP/new' })]
  expect(await send(lines, { dryRun: true })).toMatchObject({ did: 'UPDATED', dryRun: true })
  expect(await stored()).toEqual(before)
  expect(await send(lines)).toMatchObject({ did: 'UPDATED', revision: before.revision + 1 })
  expect(await rows()).toMatchObject([
    { id, quantity: 2, status: 'OPEN' },
    { quantity: 1, status: 'OPEN' },
  ])
  await expectValid()
  const taken = await refusalOf(placeOrder(actor, { ...base, lines }))
  expect(taken).toMatchObject({ code: 'EXTERNAL_REF_TAKEN', takenBy: { differs: [] } })

  expect(await send([line(2)])).toMatchObject({ did: 'UPDATED' })
  expect(await rows()).toMatchObject([{ id, promisedOn: expect.any(Date) }, { status: 'CANCELLED' }])
  await cancelOrder(actor, { order: { externalRef: 'UP' } })
  expect(await refusalOf(send([line(2)]))).toMatchObject({ code: 'STATUS_FORBIDS' })
})

test('what amending refuses is refused, with the places of the input as it was sent, and the order stays', async () => {
  await send([line(1), line(1, { pack: OTHER })])
  const before = await stored()
  const wrong = await refusalOf(
    send([
      line(1),
      { pack: { externalRef: 'NONE' }, quantity: 1 },
      line(1, { pack: OTHER, serveOn: addDays(today, -1) }),
    ]),
  )
  if (!(wrong instanceof InvalidInput)) throw wrong
  expect(wrong.issues.map(({ path, code }) => [path, code])).toEqual([
    ['lines[2].serveOn', 'SERVE_DAY_PAST'],
    ['lines[1].pack', 'UNKNOWN_REFERENCE'],
  ])
  const worse = await refusalOf(send([line(1, { quantity: 5000 })], { accept: 'ON_TIME_ONLY' }))
  expect(worse).toMatchObject({ code: 'PROMISE_WORSENS' })
  const moved = await refusalOf(send([line(1)], { account: { id: second } }))
  if (!(moved instanceof Conflict)) throw moved
  expect(moved).toMatchObject({ code: 'EXTERNAL_REF_TAKEN', takenBy: { differs: ['account'] } })
  const nameless = await refusalOf(send([line(0)], { externalRef: undefined }))
  if (!(nameless instanceof InvalidInput)) throw nameless
  expect(nameless.issues.map(({ path }) => path).sort()).toEqual(['externalRef', 'lines[0].quantity'])
  expect(await stored()).toEqual(before)
})

test('an order of an offer that is sent again is just so, until it is amended', async () => {
  const { offerToken } = await promise(actor, { account: { id: first }, serveOn, lines: [line(1)] })
  const ofOffer = { offerToken, externalRef: 'UP' }
  expect(await placeOrder(actor, { ...ofOffer, upsert: true })).toMatchObject({ did: 'CREATED' })
  expect(await placeOrder(actor, { ...ofOffer, upsert: true })).toMatchObject({ did: 'UNCHANGED' })
  expect(await refusalOf(placeOrder(actor, ofOffer))).toMatchObject({
    ...{ code: 'EXTERNAL_REF_TAKEN', takenBy: { differs: [] } },
  })
  await send([line(2)])
  expect(await refusalOf(placeOrder(actor, { ...ofOffer, upsert: true }))).toBeInstanceOf(InvalidInput)
})

test('an order of a reservation that is confirmed again is just so, until it is amended', async () => {
  const asked = { account: { id: first }, serveOn, accept: 'LATER', lines: [line(1)], minutes: 30 }
  const { id } = await reserveBeer(actor, { ...asked, externalRef: 'HELD' })
  const ofReservation = { reservation: { id: encodeGlobalId('Reservation', id) }, externalRef: 'UP' }
  expect(await placeOrder(actor, ofReservation)).toMatchObject({ did: 'CREATED' })
  expect(await placeOrder(actor, { ...ofReservation, upsert: true })).toMatchObject({ did: 'UNCHANGED' })
  expect(await refusalOf(placeOrder(actor, ofReservation))).toMatchObject({
    ...{ code: 'EXTERNAL_REF_TAKEN', takenBy: { differs: [] } },
  })
  await send([line(2)])
  expect(await refusalOf(placeOrder(actor, ofReservation))).toBeInstanceOf(InvalidInput)
})
