// Many orders in one call: each is a command of its own, so that those of others get their turn between them.
import { Refusal } from '../../errors.ts'
import type { Envelope } from '../commands/command.ts'
import type { OrderDecided } from '../orders/order-answer.ts'
import { orderCommand } from '../orders/place-order.ts'
import type { Decide } from '../orders/upsert-order.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Entered, enteredOf, type Imported, importAll, listedIn } from './imported.ts'

type OrderEnvelope = Envelope<Decide<OrderDecided>, OrderDecided>

/** Places or amends orders, each whole or not at all and in their order. Throws `InvalidInput` where there are none, or too many. */
export async function importOrders(actor: PlanningActor, input: unknown): Promise<Imported> {
  return importAll(actor, 'Order', listedIn(input, 'orders'), (orders) => enterOrders(actor, orders))
}

async function enterOrders(actor: PlanningActor, orders: readonly unknown[]): Promise<(Entered | Refusal)[]> {
  const read = orders.map((order) => envelopeOf(actor, order))
  const envelopes = read.filter((each): each is OrderEnvelope => !(each instanceof Refusal))
  const settled = (await actor.executor.executeEach(actor, envelopes)).values()
  return read.map((each) => {
    if (each instanceof Refusal) return each
    const { value } = settled.next()
    if (!value) throw new Error('of each order it is known what became of it')
    return enteredOf(value)
  })
}

/** The command for an order; the refusal of one of which nothing can be read. */
function envelopeOf(actor: PlanningActor, order: unknown): OrderEnvelope | Refusal {
  try {
    return orderCommand(actor, order)
  } catch (error) {
    if (error instanceof Refusal) return error
    throw error
  }
}
