// What sales can do where the plan in force cannot keep a wish: a new plan is looked for, and taken up with whatever came between.
import * as fc from 'fast-check'
import { expect } from 'vitest'
import { dayOf } from '../../src/database/calendar-day.ts'
import { newPlanSearch } from '../../src/resolvers/promise/new-plan.ts'
import { reserveWithNewPlan } from '../../src/resolvers/reservations/reserve-with-new-plan.ts'
import type { Brewery } from './brewery.ts'
import { command } from './command.ts'
import { lineRef, reservationRef } from './model.ts'

/** Asks for so many casks on a day, and for a new plan where the plan in force has them late. */
export const seek = fc.tuple(fc.integer({ min: 1, max: 8 }), fc.integer({ min: 2, max: 12 })).map(([casks, days]) =>
  command(`ask ${casks} for day ${days} of a new plan`, async (model, brewery) => {
    const { actor } = brewery
    const wantedOn = model.day(days)
    const before = await brewery.revision()
    const begun = await (await brewery.ask(casks, wantedOn)).newPlan(true)
    await actor.jobs.settled()
    expect(await brewery.revision()).toBe(before)
    if (!begun?.id) return
    const { state, alternative } = await newPlanSearch(actor, begun.id)
    expect(state).toMatch(/^(FOUND|NONE)$/)
    if (alternative)
      model.newPlanOffers.push({
        ...{ token: alternative.offerToken, quantity: casks, wantedOn },
        ...{ serveOn: alternative.serveOn, madeAt: model.now },
      })
  }),
)

export const takeNewPlan = fc.tuple(fc.nat({ max: 50 }), fc.integer({ min: 1, max: 90 })).map(([number, lasting]) =>
  command(
    `reserve for ${lasting} min by the offer ${number} of a new plan`,
    async (model, brewery) => {
      const offer = model.newPlanOffers[number % model.newPlanOffers.length]
      if (!offer) return
      const n = model.next
      const input = { offerToken: offer.token, ...reservationRef({ n }), minutes: lasting }
      const tried = await brewery.try(() => reserveWithNewPlan(brewery.actor, input))
      if (model.usedOffers.has(offer.token)) return expect(tried).toMatchObject({ ok: false, code: 'OFFER_USED' })
      if (!tried.ok) return expect(tried.code).toMatch(/^(REVISION_MOVED|OFFER_EXPIRED|OFFER_GONE)$/)
      model.usedOffers.add(offer.token)
      const promisedOn = await nameLine(brewery, tried.answer.id, n, true)
      expect(promisedOn).toBe(offer.wantedOn)
      const expiresAt = model.now + 60_000 * lasting
      const { quantity, wantedOn: serveOn } = offer
      model.add({ status: 'RESERVED', reservation: 'ACTIVE', expiresAt, quantity, serveOn, promisedOn })
    },
    ({ newPlanOffers }) => newPlanOffers.length > 0,
  ),
)

/** Gives the one line of a new order or reservation its reference and answers its promised day. */
export async function nameLine({ actor }: Brewery, id: string, n: number, reserved: boolean): Promise<string | null> {
  const { client, distributorId } = actor
  const order = reserved ? { reservation: { id } } : { id }
  await client.orderLine.updateMany({ where: { distributorId, order }, data: lineRef({ n }) })
  const line = await client.orderLine.findFirstOrThrow({ where: { distributorId, order } })
  return line.promisedOn && dayOf(line.promisedOn)
}
