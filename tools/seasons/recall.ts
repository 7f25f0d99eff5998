// A lot is called back: what of it is here is kept back and destroyed later, and the accounts that have it are asked to give it back.
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { lasting } from './mishaps.ts'
import { pageOf } from './shapes.ts'
import { type Shift, sayFacts } from './shift.ts'

/** Days for which an account still has some of what it got. */
const DAYS_BACK = 10
/** How often what was called back is sent again. */
const SENT_AGAIN = 0.7

const lotShape = z.object({ id: z.string(), code: z.string() })
const arrivedShape = z.object({ facts: pageOf(z.object({ lots: z.array(lotShape) })) })
const ARRIVED = `query ($from: LocalDate!) {
  facts(filter: { kinds: [DELIVERED], from: $from, effectiveOnly: true }, first: 50) { edges { node { lots { id code } } } } }`

const outShape = z.object({
  recall: z.object({
    lots: z.array(z.object({ here: z.int(), lot: z.object({ quarantined: z.boolean() }) })),
    accounts: z.array(
      z.object({
        account: z.object({ name: z.string() }),
        deliveries: z.array(
          z.object({
            ...{ onRoad: z.int(), atAccount: z.int(), recalled: z.int() },
            orderLine: z.object({ id: z.string() }),
          }),
        ),
      }),
    ),
  }),
})
const OUT = `query ($lot: ID!) { recall(of: { lot: { id: $lot } }) {
  lots { here lot { quarantined } }
  accounts { account { name } deliveries { onRoad atAccount recalled orderLine { id } } } } }`

/** Where a lot that was delivered in the last days turns out to be bad, calls it back from the road and from the accounts. */
export async function recallDay(shift: Shift): Promise<void> {
  const { api, day, random, diary, memory } = shift
  const { facts } = await api.ask('floor', arrivedShape, ARRIVED, { from: addDays(day, -DAYS_BACK) })
  const lots = facts.flatMap((fact) => fact.lots)
  if (lots.length === 0 || !shift.strikes('lotRecalled')) return
  const { id, code } = random.pick(lots)
  const { recall } = await api.ask('planner', outShape, OUT, { lot: id })
  const lot = { id }
  const here = recall.lots.filter(({ here: count }) => count > 0)
  const kept = here.some((each) => !each.lot.quarantined)
    ? [{ lotQuarantined: { lot, why: 'it smells of vinegar' } }]
    : []
  const again = random.chance(SENT_AGAIN)
  const out = recall.accounts.flatMap(({ account, deliveries }) =>
    deliveries.map(({ onRoad, atAccount, recalled, orderLine }) => ({
      ...{ name: account.name, orderLine, onRoad, quantity: onRoad + atAccount - recalled },
    })),
  )
  const calledBack = out.filter(({ quantity }) => quantity > 0)
  const calls = calledBack.map(({ orderLine, quantity }) => ({
    recalled: { orderLine, lots: [{ lot, quantity }], again, why: 'it smells of vinegar' },
  }))
  diary.note('went wrong', `the lot ${code} is called back`)
  for (const { name, quantity } of calledBack)
    diary.note('to call', `${name} must give back ${quantity} of the lot ${code}${again ? ', and gets others' : ''}`)
  await sayFacts(shift, [...kept, ...calls])
  for (const { orderLine, onRoad } of calledBack) {
    const load = memory.road.get(orderLine.id)
    if (load && onRoad > 0) memory.road.set(orderLine.id, { ...load, isCalledBack: true })
  }
  if (here.length > 0)
    memory.pending.push({ on: addDays(day, lasting(random)), end: (then) => destroyed(then, id, code) })
}

/** What of the lot stands here then; returned from the road it may be more than before. */
async function destroyed(shift: Shift, id: string, code: string): Promise<void> {
  shift.diary.note('went wrong', `what was left of the lot ${code} is destroyed`)
  await sayFacts(shift, [{ lotDestroyed: { lot: { id } } }])
}
