// Reservations and orders that come at once share a transaction, and each is answered as if it had come alone.
import { expect, test, vi } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { releaseReservation } from '../../../src/resolvers/reservations/release-reservation.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, clock, actor, scenario, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const account = { id: encodeGlobalId('Account', scenario.problem.accounts[0]?.id ?? '') }
const [pack] = Object.values(scenario.names.packs ?? {}).map(({ externalRef = '' }) => ({ externalRef }))
const serveOn = addDays(scenario.problem.today, 10)
const asking = { account, serveOn, lines: [{ pack, quantity: 1 }], accept: 'LATER' as const }

/** How many transactions of the client `work` takes. */
async function transactions(work: () => Promise<unknown>): Promise<number> {
  const spied = vi.spyOn(client, '$transaction')
  try {
    await work()
    return spied.mock.calls.length
  } finally {
    spied.mockRestore()
  }
}

const entriesSince = (revision: number) =>
  client.changeLogEntry.findMany({
    where: { distributorId, revision: { gt: revision } },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
  })

test('who comes at once is placed in one transaction, each with a revision and an order number of its own', async () => {
  const before = await stored()
  const taken = await transactions(async () => {
    await Promise.all([
      ...Array.from({ length: 5 }, () => reserveBeer(actor, asking)),
      ...Array.from({ length: 5 }, () => placeOrder(actor, asking)),
    ])
  })
  expect(taken).toBe(1)
  const entries = (await entriesSince(before.revision)).filter(({ kind }) => kind !== 'WISH_GAVE_WAY')
  expect(entries.map(({ revision, n }) => [revision - before.revision, n])).toEqual(
    Array.from({ length: 10 }, (_, index) => [index + 1, 1]),
  )
  const orders = await client.order.findMany({ where: { distributorId }, orderBy: { number: 'asc' } })
  const numbers = orders.slice(-10).map(({ number }) => number)
  expect(numbers).toEqual(Array.from({ length: 10 }, (_, index) => (numbers[0] ?? 0) + index))
  await expectValid()
})

test('who is refused, or runs dry, leaves nothing, and does not hinder the others', async () => {
  const before = await stored()
  const answers = await Promise.allSettled([
    reserveBeer(actor, { ...asking, externalRef: 'A' }),
    reserveBeer(actor, { ...asking, lines: [{ pack, quantity: 1_000_000 }] }),
    placeOrder(actor, { ...asking, externalRef: 'dry', dryRun: true }),
    reserveBeer(actor, { ...asking, account: { externalRef: 'no-such-account' } }),
    placeOrder(actor, { ...asking, externalRef: 'B' }),
  ])
  const [first, none, dry, unknown, second] = answers.map((answer) =>
    answer.status === 'fulfilled' ? answer.value.revision : answer.reason.code,
  )
  expect([none, unknown]).toEqual(['NO_PLAN_FITS', 'UNKNOWN_REFERENCE'])
  // Commands are decided in the order in which they are prepared, which the database decides.
  expect([first, second].sort()).toEqual([before.revision + 1, before.revision + 2])
  expect([before.revision, before.revision + 1, before.revision + 2]).toContain(dry)
  expect((await entriesSince(before.revision)).map(({ kind }) => kind).sort()).toEqual([
    'ORDER_PLACED',
    'RESERVATION_MADE',
  ])
  await expectValid()
})

test('of two who come at once with one reference the second is refused because it is taken', async () => {
  const answers = await Promise.allSettled(
    ['C', 'D', 'D', 'E'].map((externalRef) => reserveBeer(actor, { ...asking, externalRef })),
  )
  const refused = answers.flatMap((answer) => (answer.status === 'rejected' ? [answer.reason.code] : []))
  expect(refused).toEqual(['EXTERNAL_REF_TAKEN'])
  const rows = await client.reservation.findMany({ where: { distributorId, externalRef: { in: ['C', 'D', 'E'] } } })
  expect(rows.map(({ externalRef }) => externalRef).sort()).toEqual(['C', 'D', 'E'])
  await expectValid()
})

test('what ran out is swept out once by those who come at once, and stays where all of them are refused', async () => {
  const { id } = await reserveBeer(actor, { ...asking, minutes: 1 })
  clock.set(new Date(clock.now().getTime() + 2 * 60_000).toISOString())
  const before = await stored()
  const tooMany = { ...asking, lines: [{ pack, quantity: 1_000_000 }] }
  await Promise.allSettled([reserveBeer(actor, tooMany), reserveBeer(actor, tooMany)])
  expect((await stored()).revision).toBe(before.revision)
  await Promise.allSettled([reserveBeer(actor, tooMany), reserveBeer(actor, asking), reserveBeer(actor, asking)])
  expect(
    (await entriesSince(before.revision)).map(({ kind, revision, n }) => [kind, revision - before.revision, n]),
  ).toEqual([
    ['RESERVATION_EXPIRED', 1, 1],
    ['RESERVATION_MADE', 1, 2],
    ['RESERVATION_MADE', 2, 1],
  ])
  const reservation = { id: encodeGlobalId('Reservation', id) }
  await expect(releaseReservation(actor, { reservation })).rejects.toMatchObject({ code: 'RESERVATION_EXPIRED' })
  await expectValid()
})
