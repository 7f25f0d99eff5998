// What sales does with reservations through the API, and what it hears of promises at risk by server-sent events.
import { expect, test } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'
import { closeFermenters, listenFor, subscribe } from '../support/risk-news.ts'

const { app, data, clock, keys, revision, scenario, faults } = await openTestApi({ planned: true })
const { today, accounts } = scenario.problem
const account = { externalRef: scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? '' }
const serveOn = addDays(today, 10)
const lines = [{ pack: { externalRef: 'MAR-KEG50' }, quantity: 1 }]

const ERRORS = `__typename
  ... on InvalidInput { code issues { path code } }
  ... on NotFound { code entityType }
  ... on Conflict { code message action changes { what before now event revision } }
  ... on Forbidden { scope }`
const RESERVATION = `... on ReservationPayload { revision reservation { externalRef status expiresAt endedAt
  order { status lines { status promisedOn expectedOn } } } }`
const RESERVE = `mutation ($input: ReserveBeerInput!) { reserveBeer(input: $input) { ${ERRORS}
  ... on NotPossible { code reasons { message } } ${RESERVATION} } }`
const EXTEND = `mutation ($input: ExtendReservationInput!) { extendReservation(input: $input) { ${ERRORS} ${RESERVATION} } }`
const RELEASE = `mutation ($input: ReleaseReservationInput!) { releaseReservation(input: $input) { ${ERRORS} ${RESERVATION} } }`
const PLACE = `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { ${ERRORS}
  ... on NotPossible { code } ... on OrderPayload { dryRun outcome { promisedOn served line { quantity } }
    order { externalRef status lines { id promisedOn } } } } }`
const later = (minutes: number) => clock.set(new Date(clock.now().getTime() + minutes * 60_000).toISOString())

test('an offer is reserved, the reservation extended, and confirmed into an order that keeps the day', async () => {
  const { promise } = await data(
    `query ($input: PromiseInput!) { promise(input: $input) { offerToken } }`,
    { input: { account, serveOn, lines } },
    'sales',
  )
  const offerToken = (promise as { offerToken: string }).offerToken
  const { reserveBeer } = await data(RESERVE, { input: { offerToken, externalRef: 'R-1', minutes: 5 } }, 'sales')
  expect(reserveBeer).toMatchObject({
    revision: await revision(),
    reservation: {
      status: 'ACTIVE',
      order: { status: 'RESERVED', lines: [{ promisedOn: serveOn, expectedOn: serveOn }] },
    },
  })
  later(4)
  const reservation = { externalRef: 'R-1' }
  const { extendReservation } = await data(EXTEND, { input: { reservation, minutes: 10 } }, 'sales')
  expect(extendReservation).toMatchObject({
    reservation: { expiresAt: new Date(clock.now().getTime() + 600_000).toISOString() },
  })
  later(9)
  const { placeOrder } = await data(PLACE, { input: { reservation, externalRef: 'O-1' } }, 'sales')
  expect(placeOrder).toMatchObject({
    dryRun: false,
    order: { externalRef: 'O-1', status: 'OPEN', lines: [{ promisedOn: serveOn }] },
  })
  const { placeOrder: twice } = await data(PLACE, { input: { reservation } }, 'sales')
  expect(twice).toMatchObject({
    __typename: 'Conflict',
    code: 'RESERVATION_ENDED',
    message: expect.stringMatching(/confirmed at/),
  })
})

test('a reservation whose time has run out says so everywhere, before anything is written', async () => {
  await data(RESERVE, { input: { account, serveOn, lines, externalRef: 'R-2', minutes: 1 } }, 'sales')
  later(1)
  const before = await revision()
  const list = `{ reservations(filter: { status: EXPIRED }) { totalCount edges { node { externalRef status order { status lines { status } } } } } }`
  expect(await data(list, {}, 'sales')).toMatchObject({
    reservations: {
      totalCount: 1,
      edges: [
        { node: { externalRef: 'R-2', status: 'EXPIRED', order: { status: 'LAPSED', lines: [{ status: 'LAPSED' }] } } },
      ],
    },
  })
  const input = { reservation: { externalRef: 'R-2' } }
  for (const [query, field] of [
    [EXTEND, 'extendReservation'],
    [RELEASE, 'releaseReservation'],
    [PLACE, 'placeOrder'],
  ] as const)
    expect((await data(query, { input }, 'sales'))[field]).toMatchObject({
      __typename: 'Conflict',
      code: 'RESERVATION_EXPIRED',
      message: expect.stringMatching(/could be had for the same days/),
    })
  expect(await revision()).toBe(before)
})

test('an altered token, a foreign reservation and a key without the scope are refused', async () => {
  const { reserveBeer } = await data(RESERVE, { input: { offerToken: 'fw1.what.ever' } }, 'sales')
  expect(reserveBeer).toMatchObject({
    __typename: 'InvalidInput',
    issues: [{ path: 'offerToken', code: 'OFFER_ALTERED' }],
  })
  const { releaseReservation } = await data(RELEASE, { input: { reservation: { externalRef: 'NONE' } } }, 'sales')
  expect(releaseReservation).toMatchObject({ __typename: 'NotFound', entityType: 'Reservation' })
  const { reserveBeer: forbidden } = await data(RESERVE, { input: { account, serveOn, lines } }, 'planner')
  expect(forbidden).toMatchObject({ __typename: 'Forbidden', scope: 'orders:write' })
})

test('a subscriber hears by server-sent events that a vessel puts a promise at risk, and the order shows it', async () => {
  const input = {
    account,
    serveOn: addDays(today, 3),
    accept: 'LATER',
    externalRef: 'RISK',
    lines: [{ pack: { externalRef: 'BLO-FIRKIN' }, quantity: 3 }],
  }
  await data(PLACE, { input }, 'sales')
  const query = `subscription { promiseAtRisk { atRisk promisedOn expectedOn containers line { order { externalRef } }
    reasons { message } cause { event entityType } revision } }`
  const leaving = new AbortController()
  const response = await subscribe(app, query, keys.sales, leaving.signal)
  const { heard, leave } = listenFor(response, '"RISK"')
  await closeFermenters(data, scenario)
  expect(await heard).toMatch(/"atRisk":true.*"event":"VESSEL_CHANGED"/)
  await leave()
  leaving.abort()
  const list = `{ orders(filter: { atRisk: true, externalRefs: ["RISK"] }) { edges { node { lines { promisedOn expectedOn atRisk { reasons { message } } } } } } }`
  const { orders } = await data(list, {}, 'sales')
  expect(orders).toHaveProperty('edges.0.node.lines.0.atRisk.reasons.0.message')
  const { orders: safe } = await data(list.replace('atRisk: true', 'atRisk: false'), {}, 'sales')
  expect(safe).toMatchObject({ edges: [] })
  expect(faults).toEqual([])
})
