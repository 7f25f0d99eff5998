// The change log says of an order and of a reservation what their rows say once it is written, without reading them anew.
import { expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { amendOrder } from '../../../src/resolvers/orders/amend-order.ts'
import { cancelOrder } from '../../../src/resolvers/orders/cancel-order.ts'
import { describeOrder } from '../../../src/resolvers/orders/describe.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { describeReservation } from '../../../src/resolvers/reservations/describe.ts'
import { extendReservation } from '../../../src/resolvers/reservations/extend-reservation.ts'
import { releaseReservation } from '../../../src/resolvers/reservations/release-reservation.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, scenario } = await openPlannedDemo()
const { distributorId } = actor
const account = { id: encodeGlobalId('Account', scenario.problem.accounts[0]?.id ?? '') }
const [pack, other] = Object.values(scenario.names.packs ?? {}).map(({ externalRef = '' }) => ({ externalRef }))
const serveOn = addDays(scenario.problem.today, 10)
const asking = { account, serveOn, lines: [{ pack, quantity: 2 }], accept: 'LATER' as const }

/** Holds the last entry about a thing to its rows; answers its kind. */
async function expectLogged(entityId: string, describe: typeof describeOrder | typeof describeReservation) {
  const last = await client.changeLogEntry.findFirstOrThrow({
    where: { distributorId, entityId },
    orderBy: [{ revision: 'desc' }, { n: 'desc' }],
  })
  const rows: unknown = JSON.parse(JSON.stringify(await describe(client, distributorId, entityId)))
  expect(last.after).toEqual(rows)
  return last.kind
}

test('the change log says of each change of an order what its rows say', async () => {
  const { id } = await placeOrder(actor, {
    ...asking,
    externalRef: 'log-1',
    lines: [...asking.lines, { pack, quantity: 3 }],
  })
  const order = { id: encodeGlobalId('Order', id) }
  const logged = () => expectLogged(id, describeOrder)
  expect(await logged()).toBe('ORDER_PLACED')
  const lines = await client.orderLine.findMany({
    where: { distributorId, orderId: id },
    orderBy: { lineNumber: 'asc' },
  })
  const [first, second] = lines.map((line) => ({ id: encodeGlobalId('OrderLine', line.id) }))
  const later = addDays(serveOn, 3)
  const changes = [
    { note: 'by the side door' },
    { note: null, externalRef: 'log-2' },
    { changeLines: [{ line: first, quantity: 4, priority: 1 }], accept: 'LATER' },
    { changeLines: [{ line: first, serveOn: later, latestServeOn: later, splittable: true }], accept: 'AS_DEMAND' },
    { addLines: [{ pack: other, quantity: 1, serveOn: later, externalRef: 'log-line' }], accept: 'AS_DEMAND' },
    { cancelLines: [second], changeLines: [{ line: first, latestServeOn: null, quantity: 1 }], accept: 'LATER' },
  ]
  for (const change of changes) {
    await amendOrder(actor, { order, ...change })
    expect([change, await logged()]).toEqual([change, 'ORDER_AMENDED'])
  }
  await cancelOrder(actor, { order })
  expect(await logged()).toBe('ORDER_CANCELLED')
})

test('the change log says of each change of a reservation what its rows say', async () => {
  const { id } = await reserveBeer(actor, { ...asking, note: 'for Friday', minutes: 5 })
  const reservation = { id: encodeGlobalId('Reservation', id) }
  expect(await expectLogged(id, describeReservation)).toBe('RESERVATION_MADE')
  await extendReservation(actor, { reservation, minutes: 40 })
  expect(await expectLogged(id, describeReservation)).toBe('RESERVATION_EXTENDED')
  const placed = await placeOrder(actor, { reservation, externalRef: 'log-3', note: 'as agreed' })
  expect(await expectLogged(id, describeReservation)).toBe('RESERVATION_CONFIRMED')
  expect(await expectLogged(placed.id, describeOrder)).toBe('ORDER_PLACED')
  const again = await reserveBeer(actor, asking)
  await releaseReservation(actor, { reservation: { id: encodeGlobalId('Reservation', again.id) } })
  expect(await expectLogged(again.id, describeReservation)).toBe('RESERVATION_RELEASED')
})
