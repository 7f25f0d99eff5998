// An offer is taken up once: a client that sends it again, at once, late or to another server, learns what it became.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { createApp } from '../../src/app.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { decodeGlobalId } from '../../src/resolvers/global-id.ts'
import { openTestApi } from '../support/api.ts'

const { app, client, clock, jobs, keys, scenario, data } = await openTestApi({ planned: true })
const other = createApp({ client, clock, jobs, onFault: () => undefined })

const PROMISE = 'query ($input: PromiseInput!) { promise(input: $input) { offerToken } }'
const PLACE = `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { __typename
  ... on OrderPayload { order { id } } ... on Conflict { code takenBy } ... on InvalidInput { issues { path code } } } }`
const RESERVE = `mutation ($input: ReserveBeerInput!) { reserveBeer(input: $input) { __typename
  ... on ReservationPayload { reservation { id } } ... on Conflict { code takenBy } } }`
const RELEASE = 'mutation ($id: ID!) { releaseReservation(input: { reservation: { id: $id } }) { __typename } }'
const CANCEL = 'mutation ($id: ID!) { cancelOrder(input: { order: { id: $id } }) { __typename } }'

const serveOn = addDays(scenario.problem.today, 12)
const input = {
  account: { externalRef: 'C-101' },
  serveOn,
  lines: [{ pack: { externalRef: 'FOO-FIRKIN' }, quantity: 1 }],
}

/** An offer that is new: each is made a second later than the one before. */
async function offer(): Promise<string> {
  clock.set(new Date(clock.now().getTime() + 1000))
  const { promise } = await data(PROMISE, { input }, 'sales')
  return z.object({ offerToken: z.string() }).parse(promise).offerToken
}

const made = z.object({
  order: z.object({ id: z.string() }).optional(),
  reservation: z.object({ id: z.string() }).optional(),
})
const place = async (more: object) => (await data(PLACE, { input: more }, 'sales')).placeOrder
const reserve = async (offerToken: string) => (await data(RESERVE, { input: { offerToken } }, 'sales')).reserveBeer
const idOf = (answer: unknown) => {
  const { order, reservation } = made.parse(answer)
  return (order ?? reservation)?.id ?? ''
}
const used = (takenBy: string) => ({ __typename: 'Conflict', code: 'OFFER_USED', takenBy })

test('an offer that was placed is not placed, tried or reserved again, also once the order is cancelled or the offer is too old', async () => {
  const offerToken = await offer()
  const before = await client.order.count()
  const order = idOf(await place({ offerToken }))
  expect(decodeGlobalId(order)?.kind).toBe('Order')
  expect(await place({ offerToken, externalRef: 'AGAIN' })).toEqual(used(order))
  expect(await place({ offerToken, dryRun: true })).toEqual(used(order))
  expect(await reserve(offerToken)).toEqual(used(order))
  await data(CANCEL, { id: order }, 'sales')
  clock.set(new Date(clock.now().getTime() + 25 * 3_600_000))
  expect(await place({ offerToken })).toEqual(used(order))
  expect(await client.order.count()).toBe(before + 1)
})

test('an offer that was reserved names its reservation, and its order once that is confirmed', async () => {
  const offerToken = await offer()
  const reservation = idOf(await reserve(offerToken))
  expect(decodeGlobalId(reservation)?.kind).toBe('Reservation')
  expect(await place({ offerToken })).toEqual(used(reservation))
  const order = idOf(await place({ reservation: { id: reservation } }))
  expect(await reserve(offerToken)).toEqual(used(order))
  expect(await place({ reservation: { id: reservation } })).toEqual({
    ...{ __typename: 'Conflict', code: 'RESERVATION_ENDED', takenBy: order },
  })
})

test('a reservation that was released does not come back by a request that is late', async () => {
  const offerToken = await offer()
  const reservation = idOf(await reserve(offerToken))
  await data(RELEASE, { id: reservation }, 'sales')
  expect(await reserve(offerToken)).toEqual(used(reservation))
})

test('a dry run uses nothing up, and neither does a refusal', async () => {
  const offerToken = await offer()
  await place({ offerToken, dryRun: true })
  expect(await place({ offerToken, accept: 'LATER' })).toMatchObject({ __typename: 'InvalidInput' })
  expect(await place({ offerToken })).toMatchObject({ __typename: 'OrderPayload' })
})

test('of many requests with one offer at once, on two servers, one places it and all others learn of that order', async () => {
  const offerToken = await offer()
  const before = await client.order.count()
  const answers = await Promise.all(
    Array.from({ length: 8 }, async (_, n) => {
      const response = await (n % 2 ? app : other).fetch('http://test/graphql', {
        method: 'POST',
        headers: { 'content-type': 'application/json', authorization: `Bearer ${keys.sales}` },
        body: JSON.stringify({
          query: n < 6 ? PLACE : RESERVE,
          variables: { input: { offerToken, ...(n === 2 ? { externalRef: 'RACE' } : {}) } },
        }),
      })
      const { data: answer } = z
        .object({ data: z.record(z.string(), z.looseObject({ __typename: z.string() })) })
        .parse(await response.json())
      return answer.placeOrder ?? answer.reserveBeer
    }),
  )
  const [first, ...more] = answers.filter((answer) => answer?.__typename !== 'Conflict')
  expect(more).toEqual([])
  expect(answers.filter((answer) => answer?.__typename === 'Conflict')).toEqual(Array(7).fill(used(idOf(first))))
  expect(await client.order.count()).toBe(before + 1)
})
