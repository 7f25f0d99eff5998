// An ordering system outside the server: it places, amends and cancels orders, and keeps a book of what it was answered.
import { z } from 'zod'
import type { Random } from '../../seeds/random.ts'
import { type Act, type Book, mutationOf, type Order, orderShape } from './orders.ts'
import type { Sender } from './sender.ts'

/** Open orders that a writer keeps: beyond them it cancels, so that the brewery's problem stays as large. */
const MOST_OPEN = 10

const payloadShape = z.object({ __typename: z.literal('OrderPayload'), revision: z.int(), order: orderShape })

/** What is ordered. */
export interface Wanted {
  accounts: readonly string[]
  pack: string
  serveOn: string
}

export class OrderingSystem {
  readonly book: Book = new Map()
  readonly counts: Record<Act, number> = { placeOrder: 0, amendOrder: 0, cancelOrder: 0 }
  readonly #sender: Sender
  readonly #wanted: Wanted
  #done = 0

  constructor(sender: Sender, wanted: Wanted) {
    this.#sender = sender
    this.#wanted = wanted
  }

  /** Does so many acts, by so many writers at once, each on orders of its own. `onAct` hears how many are done. */
  async run(operations: number, writers: number, random: Random, onAct: (done: number) => void): Promise<void> {
    const write = async (writer: number) => {
      const chance = random.fork(`writer ${writer}`)
      const open = new Map<string, Order>()
      for (let n = 1; this.#done < operations; n += 1) {
        this.#done += 1
        await this.#act(`${writer}-${n}`, open, chance)
        onAct(this.#done)
      }
    }
    await Promise.all(Array.from({ length: writers }, (_, index) => write(index + 1)))
  }

  async #act(name: string, open: Map<string, Order>, random: Random): Promise<void> {
    const some = open.size > 0 ? random.pick([...open.keys()]) : undefined
    if (some !== undefined && (open.size >= MOST_OPEN || random.chance(0.2))) {
      await this.#send('cancelOrder', { order: { externalRef: some } }, name, some)
      open.delete(some)
    } else if (some !== undefined && random.chance(0.4)) {
      open.set(some, await this.#send('amendOrder', this.#amendment(open.get(some), some, name, random), name, some))
    } else {
      const { accounts, pack, serveOn } = this.#wanted
      const lines = [{ externalRef: `L-${name}`, pack: { externalRef: pack }, quantity: random.int(1, 3) }]
      const account = { externalRef: random.pick(accounts) }
      const input = { externalRef: `O-${name}`, account, serveOn, accept: 'AS_DEMAND', lines }
      open.set(`O-${name}`, await this.#send('placeOrder', input, name, `O-${name}`))
    }
  }

  /** Another line, or another quantity of one. */
  #amendment(order: Order | undefined, externalRef: string, name: string, random: Random): object {
    const { pack, serveOn } = this.#wanted
    const amended = { order: { externalRef }, accept: 'AS_DEMAND' }
    const line = order?.lines.find(({ status }) => status === 'OPEN')?.externalRef
    if (line && random.chance(0.5))
      return { ...amended, changeLines: [{ line: { externalRef: line }, quantity: random.int(1, 4) }] }
    const added = { externalRef: `L-${name}`, pack: { externalRef: pack }, quantity: 1, serveOn }
    return { ...amended, addLines: [added] }
  }

  async #send(act: Act, input: object, name: string, externalRef: string): Promise<Order> {
    const answer = await this.#sender.send(mutationOf(act), input, `act ${name}`)
    const payload = payloadShape.safeParse(answer)
    if (!payload.success) throw new Error(`${act} ${name} was answered ${JSON.stringify(answer)}`)
    this.counts[act] += 1
    this.book.set(externalRef, payload.data.order)
    return payload.data.order
  }
}
