// Reservations: beer that is kept for some minutes, and what becomes of it. After each step the plan in force passes the
// checker.
import { beforeEach, expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { cancelOrder } from '../../../src/resolvers/orders/cancel-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { extendReservation } from '../../../src/resolvers/reservations/extend-reservation.ts'
import { releaseReservation } from '../../../src/resolvers/reservations/release-reservation.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, clock, actor, scenario, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today } = scenario.problem
const start = clock.now()

const account = { id: encodeGlobalId('Account', scenario.problem.accounts[0]?.id ?? '') }
const serveOn = addDays(today, 10)
const reservationRef = ({ id }: { id: string }) => ({ id: encodeGlobalId('Reservation', id) })
const asking = (quantity: number) => ({ account, serveOn, lines: [{ pack, quantity }] })
let pack = { externalRef: '' }
const onTime = async (quantity: number) => (await promise(actor, asking(quantity))).allOnTime
const rowOf = ({ id }: { id: string }) =>
  client.reservation.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id } },
    include: { order: { include: { lines: true } } },
  })

/** The most that can be had on the day. */
async function most(): Promise<number> {
  let [can, cannot] = [0, 1]
  while (await onTime(cannot)) [can, cannot] = [cannot, cannot * 2]
  while (cannot > can + 1) {
    const middle = Math.floor((can + cannot) / 2)
    if (await onTime(middle)) can = middle
    else cannot = middle
  }
  return can
}

const later = (minutes: number) => clock.set(new Date(start.getTime() + minutes * 60_000).toISOString())

beforeEach(() => clock.set(start.toISOString()))

/** A pack of which some can be had on the day, but not without end: once they are reserved in one line there is not even one. */
async function somePack(): Promise<number> {
  for (const { externalRef = '' } of Object.values(scenario.names.packs ?? {})) {
    pack = { externalRef }
    const found = await most()
    if (found < 3 || found >= 500) continue
    const reserved = await reserveBeer(actor, asking(found))
    const isAll = !(await onTime(1))
    await releaseReservation(actor, { reservation: reservationRef(reserved) })
    if (isAll) return found
  }
  throw new Error('no pack of the demo is scarce on that day')
}

const all = await somePack()

test('what is reserved is off the market, and confirming it keeps its place in the plan and its promised day', async () => {
  expect(all).toBeGreaterThan(1)
  const reserved = await reserveBeer(actor, { ...asking(all), externalRef: 'R-1', minutes: 10 })
  expect(await onTime(1)).toBe(false)
  const { plan } = await expectValid()
  const row = await rowOf(reserved)
  expect(row).toMatchObject({ status: 'ACTIVE', order: { status: 'RESERVED', lines: [{ status: 'RESERVED' }] } })
  const { order } = row

  later(9)
  const placed = await placeOrder(actor, { reservation: { externalRef: 'R-1' }, externalRef: 'O-1' })
  expect(placed.id).toBe(order.id)
  expect((await expectValid()).plan).toEqual(plan)
  expect(await rowOf(reserved)).toMatchObject({
    status: 'CONFIRMED',
    endedAt: clock.now(),
    order: { status: 'OPEN', externalRef: 'O-1', lines: [{ status: 'OPEN', promisedOn: order.lines[0]?.promisedOn }] },
  })
  later(60)
  expect(await onTime(1)).toBe(false)
  const again = placeOrder(actor, { reservation: reservationRef(reserved) })
  await expect(again).rejects.toMatchObject({
    code: 'RESERVATION_ENDED',
    message: expect.stringMatching(/was confirmed at 2027-/),
  })
  await expect(releaseReservation(actor, { reservation: reservationRef(reserved) })).rejects.toMatchObject({
    code: 'RESERVATION_ENDED',
  })
  await cancelOrder(actor, { order: { externalRef: 'O-1' } })
  expect(await most()).toBe(all)
})

test('once its time has run out the beer is free at once, and the next write sweeps the rows', async () => {
  const reserved = await reserveBeer(actor, { ...asking(all), minutes: 10 })
  const { revision } = await stored()
  later(10)
  expect(await onTime(all)).toBe(true)
  expect(await rowOf(reserved)).toMatchObject({ status: 'ACTIVE' })
  expect((await stored()).revision).toBe(revision)
  const lateConfirm = placeOrder(actor, { reservation: reservationRef(reserved) })
  await expect(lateConfirm).rejects.toMatchObject({
    code: 'RESERVATION_EXPIRED',
    message: expect.stringMatching(/It could be had for the same days just now/),
  })
  expect((await stored()).revision).toBe(revision)
  await expect(extendReservation(actor, { reservation: reservationRef(reserved) })).rejects.toMatchObject({
    code: 'RESERVATION_EXPIRED',
  })

  const next = await reserveBeer(actor, { ...asking(all), minutes: 10 })
  expect(await rowOf(reserved)).toMatchObject({
    status: 'EXPIRED',
    endedAt: new Date(start.getTime() + 600_000),
    order: { status: 'LAPSED', lines: [{ status: 'LAPSED' }] },
  })
  const { plan } = await expectValid()
  const lineIds = (await rowOf(reserved)).order.lines.map(({ id }) => id)
  expect(plan.deliveries.filter(({ orderLineId }) => lineIds.includes(orderLineId))).toEqual([])
  await expect(placeOrder(actor, { reservation: reservationRef(reserved) })).rejects.toMatchObject({
    code: 'RESERVATION_EXPIRED',
    message: expect.stringMatching(/cannot be had for the same days any more/),
  })
  const events = await client.changeLogEntry.findMany({
    where: { distributorId, entityId: reserved.id },
    orderBy: { revision: 'asc' },
  })
  expect(events.map(({ kind }) => kind)).toEqual(['RESERVATION_MADE', 'RESERVATION_EXPIRED'])
  await releaseReservation(actor, { reservation: reservationRef(next) })
})

test('a released reservation frees its beer, and cannot be released, extended or confirmed again', async () => {
  const reserved = await reserveBeer(actor, asking(all))
  await releaseReservation(actor, { reservation: reservationRef(reserved) })
  await expectValid()
  expect(await most()).toBe(all)
  const { revision } = await stored()
  for (const again of [releaseReservation, extendReservation, placeOrder])
    await expect(again(actor, { reservation: reservationRef(reserved) })).rejects.toMatchObject({
      code: 'RESERVATION_ENDED',
      message: expect.stringMatching(/was released at 2027-/),
    })
  expect((await stored()).revision).toBe(revision)
})

test('a server whose clock is behind that of the one that reserved confirms and releases all the same', async () => {
  const [confirmed, released] = [await reserveBeer(actor, asking(1)), await reserveBeer(actor, asking(1))]
  later(-3)
  await placeOrder(actor, { reservation: reservationRef(confirmed) })
  await releaseReservation(actor, { reservation: reservationRef(released) })
  for (const each of [confirmed, released]) {
    const { status, madeAt, endedAt } = await rowOf(each)
    expect(status).not.toBe('ACTIVE')
    expect(endedAt).toEqual(madeAt)
  }
})

test('extending lets it hold from now on for so long, never for less than before, and a week in all', async () => {
  const reserved = await reserveBeer(actor, { ...asking(1), minutes: 60 })
  later(5)
  await extendReservation(actor, { reservation: reservationRef(reserved), minutes: 10 })
  expect((await rowOf(reserved)).expiresAt).toEqual(new Date(start.getTime() + 3_600_000))
  later(59)
  await extendReservation(actor, { reservation: reservationRef(reserved), minutes: 1440 })
  later(61)
  expect((await rowOf(reserved)).expiresAt).toEqual(new Date(start.getTime() + 1499 * 60_000))
  await placeOrder(actor, { reservation: reservationRef(reserved), dryRun: true })
  for (let day = 1; day <= 6; day++) {
    later(day * 1439)
    await extendReservation(actor, { reservation: reservationRef(reserved), minutes: 1440 })
  }
  later(6 * 1440 + 30)
  await expect(
    extendReservation(actor, { reservation: reservationRef(reserved), minutes: 1440 }),
  ).rejects.toMatchObject({ code: 'OUT_OF_RANGE', issues: [{ path: 'minutes' }] })
  await releaseReservation(actor, { reservation: reservationRef(reserved) })
})

test('an offer is taken up by the offered days, placed anew on newer records, or refused with what is possible now', async () => {
  const before = await most()
  const [one, two] = [await promise(actor, asking(before)), await promise(actor, asking(1))]
  const first = await reserveBeer(actor, { offerToken: two.offerToken })
  await expect(reserveBeer(actor, { offerToken: one.offerToken })).rejects.toMatchObject({
    code: 'OFFER_GONE',
    short: [{ quantity: before }],
  })
  clock.set(new Date(clock.now().getTime() + 1000))
  const again = await promise(actor, asking(1))
  const second = await placeOrder(actor, { offerToken: again.offerToken, dryRun: true })
  expect(second.outcome).toMatchObject([{ quantity: 1, promisedOn: serveOn, expectedOn: serveOn, served: 1 }])
  expect(await client.order.findUnique({ where: { distributorId_id: { distributorId, id: second.id } } })).toBeNull()
  await releaseReservation(actor, { reservation: reservationRef(first) })
  expect(await most()).toBe(before)
})

test('what is named together must fit, and a reservation of another distributor does not exist', async () => {
  const offerToken = (await promise(actor, asking(1))).offerToken
  const wrong = (input: object) => expect(reserveBeer(actor, input)).rejects.toMatchObject
  await wrong({})({
    issues: [
      { path: 'account', code: 'MISSING_VALUE' },
      { path: 'lines', code: 'MISSING_VALUE' },
    ],
  })
  await wrong({ offerToken, account })({ issues: [{ path: 'account', code: 'NOT_BOTH' }] })
  await wrong({ ...asking(1), minutes: 0 })({ issues: [{ path: 'minutes', code: 'OUT_OF_RANGE' }] })
  await wrong({ ...asking(1), minutes: 1441 })({ issues: [{ path: 'minutes', code: 'OUT_OF_RANGE' }] })
  await wrong({ offerToken: 'o1.e30.AAAA' })({ issues: [{ path: 'offerToken', code: 'OFFER_ALTERED' }] })
  await expect(placeOrder(actor, { ...asking(1) })).rejects.toMatchObject({
    issues: [{ path: 'accept', code: 'MISSING_VALUE' }],
  })
  const reserved = await reserveBeer(actor, { ...asking(1), externalRef: 'MINE' })
  await expect(reserveBeer(actor, { ...asking(1), externalRef: 'MINE' })).rejects.toMatchObject({
    code: 'EXTERNAL_REF_TAKEN',
  })
  await client.distributor.create({ data: { id: 'other', name: 'Other', timeZone: 'Europe/London' } })
  const other = { ...actor, distributorId: 'other' }
  for (const theirs of [
    () => releaseReservation(other, { reservation: reservationRef(reserved) }),
    () => extendReservation(other, { reservation: { externalRef: 'MINE' } }),
    () => placeOrder(other, { reservation: reservationRef(reserved) }),
  ])
    await expect(theirs()).rejects.toMatchObject({ code: 'NO_SUCH_THING' })
  await expect(reserveBeer(other, { offerToken })).rejects.toMatchObject({ code: 'OFFER_ALTERED' })
  await releaseReservation(actor, { reservation: reservationRef(reserved) })
})
