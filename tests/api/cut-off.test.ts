// B6 through the API: what is promised, offered, ordered, reserved and amended after a route's cut-off, by the clock.
import { expect, test } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'

const { data, clock, scenario, faults } = await openTestApi({ planned: true })
const { today, accounts } = scenario.problem
const [first] = accounts
const account = { externalRef: scenario.names.accounts?.[first?.id ?? '']?.externalRef ?? '' }
const route = { externalRef: scenario.names.routes?.[first?.routeIds[0] ?? '']?.externalRef ?? '' }
const pack = { externalRef: 'MAR-KEG50' }
const tomorrow = addDays(today, 1)
const afterTomorrow = addDays(today, 2)

/** Sets the clock to a time of today in London, in winter. */
const at = (time: string) => clock.set(`${today}T${time}:00Z`)

const setCutOff = async (cutOff: object | null) => {
  const { changeRoute } = await data(
    'mutation ($input: ChangeRouteInput!) { changeRoute(input: $input) { __typename ... on RoutePayload { route { cutOff { daysBefore at } } } } }',
    { input: { route, cutOff } },
  )
  expect(changeRoute).toEqual({ __typename: 'RoutePayload', route: { cutOff } })
}

const promised = async (serveOn: string) => {
  const { promise } = await data(
    `query ($input: PromiseInput!) { promise(input: $input) { offerToken allOnTime earliestServeOn
      lines { limits { rule relief { what amount unit } } } } }`,
    { input: { account, serveOn, lines: [{ pack, quantity: 1 }] } },
    'sales',
  )
  return promise
}

const offered = async (on: string) => {
  const { availability } = await data(
    `query ($account: ThingRef!, $from: LocalDate!, $packs: [ThingRef!]) {
      availability(account: $account, from: $from, to: $from, packs: $packs) { days { packs { quantity } } } }`,
    { account, from: on, packs: [pack] },
    'sales',
  )
  return availability
}

const ORDER = 'order { lines { id quantity serveOn promisedOn placedAt } }'
const PLACE = `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { __typename
  ... on NotPossible { code reasons { rule relief { what } } } ... on OrderPayload { ${ORDER} } } }`
const AMEND = PLACE.replaceAll('PlaceOrder', 'AmendOrder').replaceAll('placeOrder', 'amendOrder')
const RESERVE = `mutation ($input: ReserveBeerInput!) { reserveBeer(input: $input) { __typename
  ... on NotPossible { reasons { rule } } ... on ReservationPayload { reservation { ${ORDER} } } } }`

const place = async (serveOn: string, externalRef: string) => {
  const input = { account, serveOn, externalRef, accept: 'ON_TIME_ONLY', lines: [{ pack, quantity: 2 }] }
  return (await data(PLACE, { input }, 'sales')).placeOrder
}

test('beer is promised and offered for the same day at a quarter to eleven at night only where the route has no cut-off', async () => {
  await setCutOff(null)
  at('22:45')
  expect(await promised(today)).toMatchObject({ allOnTime: true, earliestServeOn: today })
  expect(await offered(today)).toMatchObject({ days: [{ packs: [{ quantity: expect.any(Number) }] }] })
  await setCutOff({ daysBefore: 1, at: '15:00' })
  expect(await promised(today)).toMatchObject({
    allOnTime: false,
    earliestServeOn: afterTomorrow,
    lines: [
      {
        limits: expect.arrayContaining([
          // From three in the afternoon of yesterday to now.
          { rule: 'B6', relief: { what: 'CUT_OFF_LATER', amount: 31 * 60 + 45, unit: 'MINUTE' } },
        ]),
      },
    ],
  })
  expect(await offered(today)).toEqual({ days: [{ packs: [] }] })
  expect(await offered(tomorrow)).toEqual({ days: [{ packs: [] }] })
})

test('what is offered for tomorrow ends with the minute of the cut-off', async () => {
  at('15:00')
  expect(await promised(tomorrow)).toMatchObject({ allOnTime: true })
  expect(await offered(tomorrow)).toMatchObject({ days: [{ packs: [{ quantity: expect.any(Number) }] }] })
  at('15:01')
  expect(await promised(tomorrow)).toMatchObject({ allOnTime: false, earliestServeOn: afterTomorrow })
  expect(await offered(tomorrow)).toEqual({ days: [{ packs: [] }] })
})

test('an order and a reservation are in time as the clock says when they are placed, and keep their day after the cut-off', async () => {
  at('14:59')
  const order = await place(tomorrow, 'B6-1')
  const placedAt = `${today}T14:59:00.000Z`
  expect(order).toMatchObject({ order: { lines: [{ promisedOn: tomorrow, placedAt }] } })
  const { offerToken } = (await promised(tomorrow)) as { offerToken: string }
  const input = { account, serveOn: tomorrow, lines: [{ pack, quantity: 1 }] }
  const { reserveBeer } = await data(RESERVE, { input: { ...input, externalRef: 'B6-R' } }, 'sales')
  expect(reserveBeer).toMatchObject({ reservation: { order: { lines: [{ promisedOn: tomorrow, placedAt }] } } })
  at('15:01')
  expect(await place(tomorrow, 'B6-2')).toMatchObject({
    __typename: 'NotPossible',
    reasons: expect.arrayContaining([{ rule: 'B6', relief: { what: 'CUT_OFF_LATER' } }]),
  })
  const late = await data(RESERVE, { input }, 'sales')
  expect(late.reserveBeer).toMatchObject({ __typename: 'NotPossible' })
  // An offer is no reservation: the order that it becomes is placed now.
  const kept = await data(PLACE, { input: { offerToken } }, 'sales')
  expect(kept.placeOrder).toMatchObject({ __typename: 'NotPossible', code: 'OFFER_GONE' })
  const confirmed = await data(PLACE, { input: { reservation: { externalRef: 'B6-R' } } }, 'sales')
  expect(confirmed.placeOrder).toMatchObject({ order: { lines: [{ promisedOn: tomorrow, placedAt }] } })
})

test('an amended line keeps its time where it asks for no more, and is placed anew where it asks for more', async () => {
  at('14:58')
  const { order } = (await place(tomorrow, 'B6-3')) as { order: { lines: { id: string }[] } }
  const line = { id: order.lines[0]?.id }
  const amend = async (changes: object) => {
    const input = { order: { externalRef: 'B6-3' }, accept: 'ON_TIME_ONLY', changeLines: [{ line, ...changes }] }
    return (await data(AMEND, { input }, 'sales')).amendOrder
  }
  at('16:00')
  expect(await amend({ quantity: 3 })).toMatchObject({
    __typename: 'NotPossible',
    reasons: expect.arrayContaining([{ rule: 'B6', relief: { what: 'CUT_OFF_LATER' } }]),
  })
  expect(await amend({ quantity: 1 })).toMatchObject({
    order: { lines: [{ quantity: 1, promisedOn: tomorrow, placedAt: `${today}T14:58:00.000Z` }] },
  })
  expect(await amend({ quantity: 2, serveOn: afterTomorrow })).toMatchObject({
    order: { lines: [{ promisedOn: afterTomorrow, placedAt: `${today}T16:00:00.000Z` }] },
  })
  expect(await amend({ serveOn: tomorrow })).toMatchObject({ __typename: 'NotPossible' })
})

test('a cut-off that is none is refused with its path', async () => {
  const { changeRoute } = await data(
    'mutation ($input: ChangeRouteInput!) { changeRoute(input: $input) { ... on InvalidInput { issues { path code } } } }',
    { input: { route, cutOff: { daysBefore: 61, at: '3 pm' } } },
  )
  expect(changeRoute).toMatchObject({
    issues: [
      { path: 'cutOff.daysBefore', code: 'OUT_OF_RANGE' },
      { path: 'cutOff.at', code: 'NO_SUCH_TIME' },
    ],
  })
  expect(faults).toEqual([])
})
