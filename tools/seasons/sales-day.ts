// A day of sales: the accounts order by habit, some ask at short notice, some cancel or want another quantity.
import { z } from 'zod'
import { ACCOUNT_NAMES, type Habit } from '../../seeds/demo/accounts.ts'
import { PACK_NAMES } from '../../seeds/demo/beers.ts'
import { addDays, dayNumber, isoWeekday, type LocalDate } from '../../src/planner/documents/index.ts'
import type { Shift } from './shift.ts'

/** How often something is asked for or changed; of each day. */
const AT_SHORT_NOTICE = 0.5
const CANCELLED = 0.15
const AMENDED = 0.2
/** Of what cannot be had by the wanted day: ordered all the same, to be served if it can. */
const WANTED_ANYHOW = 0.3
/** Most days after the wanted one that an account accepts. */
const DAYS_TO_WAIT = 4

const refOf = (names: Record<string, { externalRef?: string }>, id: string) => ({
  externalRef: names[id]?.externalRef ?? id,
})

/** Whether a habit has a serve day then; weeks are counted from the first day of the season. */
export function isWantedOn(habit: Habit, serveOn: LocalDate, seasonBegan: LocalDate): boolean {
  if (isoWeekday(dayNumber(serveOn)) !== habit.serveWeekday) return false
  const week = Math.floor((dayNumber(serveOn) - dayNumber(seasonBegan)) / 7)
  return habit.everyWeeks === 1 || week % 2 === (habit.fromWeek === 2 ? 1 : 0)
}

/** The orders that the accounts place on a day by habit. */
export async function habitualOrders(shift: Shift, seasonBegan: LocalDate): Promise<void> {
  for (const { account, habits } of shift.regulars)
    for (const habit of habits) {
      const serveOn = addDays(shift.day, 7 * habit.weeksAhead)
      if (isWantedOn(habit, serveOn, seasonBegan)) await order(shift, account.id, serveOn, Object.entries(habit.lines))
    }
}

const promiseShape = z.object({
  promise: z.object({ earliestServeOn: z.string().nullable(), offerToken: z.string().nullable() }),
})
const PROMISE = 'query ($input: PromiseInput!) { promise(input: $input) { earliestServeOn offerToken } }'
const orderShape = z.object({ order: z.object({ id: z.string() }) })
const PLACE = ['placeOrder', 'OrderPayload'] as const

/** Asks for a day, and orders by the offer where it is near enough. */
async function order(
  { api, diary, random }: Shift,
  accountId: string,
  serveOn: LocalDate,
  wanted: readonly (readonly [packId: string, quantity: number])[],
): Promise<void> {
  const account = refOf(ACCOUNT_NAMES, accountId)
  const name = ACCOUNT_NAMES[accountId]?.name ?? accountId
  const lines = wanted.map(([packId, quantity]) => ({ pack: refOf(PACK_NAMES, packId), quantity }))
  const input = { account, serveOn, lines }
  const words = wanted.map(([packId, quantity]) => `${quantity} ${PACK_NAMES[packId]?.name ?? packId}`).join(' and ')
  const { promise } = await api.ask('sales', promiseShape, PROMISE, { input })
  const { earliestServeOn, offerToken } = promise
  if (offerToken !== null && earliestServeOn !== null && earliestServeOn <= addDays(serveOn, DAYS_TO_WAIT)) {
    await api.change('sales', PLACE, { offerToken }, orderShape, 'order { id }')
    diary.note('sold', `${name} is promised ${words} for ${earliestServeOn}`)
  } else if (random.chance(WANTED_ANYHOW)) {
    await api.change('sales', PLACE, { ...input, accept: 'AS_DEMAND' }, orderShape, 'order { id }')
    diary.note('sold', `${name} wants ${words} for ${serveOn}, if it can be done`)
  } else diary.note('sold', `${name} wants ${words} for ${serveOn}, and goes without`)
}

const openShape = z.object({
  orders: z.object({
    edges: z.array(
      z.object({
        node: z.object({
          id: z.string(),
          account: z.object({ name: z.string() }),
          lines: z.array(z.object({ id: z.string(), quantity: z.int(), dispatched: z.int(), status: z.string() })),
        }),
      }),
    ),
  }),
})
const OPEN = `query ($from: LocalDate!) { orders(filter: { status: OPEN, serveFrom: $from }, first: 100) { edges { node {
  id account { name } lines { id quantity dispatched status } } } } }`

/** What is asked at short notice, cancelled and amended on a day. */
export async function changesOfMind(shift: Shift): Promise<void> {
  const { api, day, random, diary } = shift
  if (random.chance(AT_SHORT_NOTICE)) {
    const { account, habits } = random.pick(shift.regulars)
    const lines = habits.flatMap((habit) => Object.keys(habit.lines))
    await order(shift, account.id, addDays(day, random.int(2, 14)), [[random.pick(lines), random.int(1, 6)]])
  }
  const [cancels, amends] = [random.chance(CANCELLED), random.chance(AMENDED)]
  if (!cancels && !amends) return
  const { orders } = await api.ask('sales', openShape, OPEN, { from: addDays(day, 2) })
  const untouched = orders.edges
    .map(({ node }) => node)
    .filter(({ lines }) => lines.every(({ dispatched, status }) => dispatched === 0 && status === 'OPEN'))
  if (untouched.length === 0) return
  const { id, account, lines } = random.pick(untouched)
  if (cancels) {
    await api.change('sales', ['cancelOrder', 'OrderPayload'], { order: { id } }, z.unknown(), 'revision')
    diary.note('sold', `${account.name} cancels an order`)
    return
  }
  const line = random.pick(lines)
  const quantity = Math.max(1, line.quantity + random.pick([-2, -1, 1, 2]))
  if (quantity === line.quantity) return
  const change = { order: { id }, changeLines: [{ line: { id: line.id }, quantity }], accept: 'LATER' }
  const amended = await api.change('sales', ['amendOrder', 'OrderPayload'], change, z.unknown(), 'revision')
  if (amended) diary.note('sold', `${account.name} wants ${quantity} where it ordered ${line.quantity}`)
}
