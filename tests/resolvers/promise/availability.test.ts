// What can be offered when: so many of a pack are promised, one more is not; and wrong questions are refused with their path.
import { expect, test } from 'vitest'
import { InvalidInput } from '../../../src/errors.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { availability, MOST_DAYS, MOST_OFFERED } from '../../../src/resolvers/promise/availability.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { createAccount } from '../../../src/resolvers/setup/account.ts'
import { retirePack } from '../../../src/resolvers/setup/pack.ts'
import { recordStatements } from '../../support/database.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, scenario, stored } = await openPlannedDemo()
const { today, horizonDays, accounts } = scenario.problem
const account = { id: encodeGlobalId('Account', accounts[0]?.id ?? '') }
const packRef = (id: string) => ({ id: encodeGlobalId('Pack', id) })
const span = { account, from: addDays(today, 3), to: addDays(today, 16) }

test('so many are promised on the day, and one more is not', async () => {
  const { days, revision } = await availability(actor, span)
  expect(days.map(({ serveOn }) => serveOn)).toEqual(
    Array.from({ length: 14 }, (_, index) => addDays(span.from, index)),
  )
  expect(revision).toBe((await stored()).revision)
  const offered = days.flatMap(({ serveOn, packs }) => packs.map((pack) => ({ serveOn, ...pack })))
  expect(offered.length).toBeGreaterThan(20)
  const onTime = async (packId: string, serveOn: string, quantity: number) =>
    (await promise(actor, { account, serveOn, lines: [{ pack: packRef(packId), quantity }] })).allOnTime
  for (const { packId, serveOn, quantity, capped } of offered.filter((_, index) => index % 5 === 0)) {
    expect(await onTime(packId, serveOn, quantity)).toBe(true)
    expect(capped).toBe(quantity === MOST_OFFERED)
    if (!capped) expect(await onTime(packId, serveOn, quantity + 1)).toBe(false)
  }
})

test('what is sold is offered no more, and one pack can be asked for alone', async () => {
  const pack = { externalRef: 'MAR-KEG50' }
  const ask = async () => (await availability(actor, { ...span, packs: [pack] })).days[7]?.packs[0]?.quantity ?? 0
  const before = await ask()
  expect(before).toBeGreaterThan(0)
  const order = { account, serveOn: addDays(span.from, 7), accept: 'ON_TIME_ONLY' }
  await placeOrder(actor, { ...order, lines: [{ pack, quantity: before }] })
  expect(await ask()).toBe(0)
})

test('opening an order form again costs a few small queries, and nothing is written', async () => {
  await availability(actor, span)
  const { statements } = await recordStatements(() => availability(actor, span))
  expect(statements.filter((statement) => !/^\s*SELECT/i.test(statement))).toEqual([])
  expect(statements.length).toBeLessThan(6)
})

test('a pack that was retired is not offered, and is refused where it is named', async () => {
  const pack = { externalRef: 'DEC-KEG50' }
  await retirePack(actor, { pack })
  const { id } = await client.pack.findFirstOrThrow({ where: pack })
  const { days } = await availability(actor, span)
  expect(days.flatMap(({ packs }) => packs).some(({ packId }) => packId === id)).toBe(false)
  await expect(availability(actor, { ...span, packs: [pack] })).rejects.toMatchObject({
    issues: [{ path: 'packs[0]', code: 'RETIRED' }],
  })
})

await createAccount(actor, { externalRef: 'NO-ROUTE', name: 'On an island', routes: [] })
const BAD: [string, object, string, string][] = [
  ['an unknown account', { account: { externalRef: 'NO-SUCH-ACCOUNT' } }, 'account', 'UNKNOWN_REFERENCE'],
  ['an account without a route', { account: { externalRef: 'NO-ROUTE' } }, 'account', 'ACCOUNT_WITHOUT_ROUTE'],
  ['an unknown pack', { packs: [{ externalRef: 'NONE' }] }, 'packs[0]', 'UNKNOWN_REFERENCE'],
  ['no pack at all', { packs: [] }, 'packs', 'BAD_LENGTH'],
  ['a past day', { from: addDays(today, -1) }, 'from', 'SERVE_DAY_PAST'],
  ['a day too far', { from: addDays(today, 40), to: addDays(today, horizonDays) }, 'to', 'SERVE_DAY_BEYOND_HORIZON'],
  ['a span that is reversed', { from: span.to, to: span.from }, 'to', 'SPAN_REVERSED'],
  ['31 February', { from: '2027-02-31' }, 'from', 'NO_SUCH_DATE'],
  ['an unknown key', { colour: 'pale' }, 'colour', 'UNKNOWN_KEY'],
]

test.each(BAD)('%s is refused', async (_, wrong, path, code) => {
  const refused = availability(actor, { ...span, ...wrong })
  await expect(refused).rejects.toBeInstanceOf(InvalidInput)
  await expect(refused).rejects.toMatchObject({ issues: [{ path, code }] })
})

test('too many days are refused, however many they are', async () => {
  for (const days of [MOST_DAYS, 2_000_000]) {
    const refused = availability(actor, { ...span, to: addDays(span.from, days) })
    await expect(refused).rejects.toMatchObject({
      issues: expect.arrayContaining([expect.objectContaining({ path: 'to', code: 'TOO_MANY' })]),
    })
  }
})

test('without a plan in force nothing can be offered', async () => {
  await client.plan.updateMany({ where: { status: 'IN_FORCE' }, data: { status: 'PAST', replacedAt: new Date() } })
  await client.distributor.updateMany({ data: { revision: { increment: 1 } } })
  await expect(availability(actor, span)).rejects.toMatchObject({ code: 'NO_PLAN_IN_FORCE' })
})
