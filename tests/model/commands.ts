// What sales can do, one command each: done to the records and to the model, and compared; and sequences of all commands.
import * as fc from 'fast-check'
import { expect } from 'vitest'
import { amendOrder } from '../../src/resolvers/orders/amend-order.ts'
import { cancelOrder } from '../../src/resolvers/orders/cancel-order.ts'
import { placeOrder } from '../../src/resolvers/orders/place-order.ts'
import { OFFER_HOURS } from '../../src/resolvers/promise/offer-token.ts'
import { extendReservation } from '../../src/resolvers/reservations/extend-reservation.ts'
import { releaseReservation } from '../../src/resolvers/reservations/release-reservation.ts'
import { reserveBeer } from '../../src/resolvers/reservations/reserve-beer.ts'
import { ACCOUNT, type Brewery, PACK } from './brewery.ts'
import { command } from './command.ts'
import { confirmDay, correct, say } from './floor-commands.ts'
import { type Holding, lineRef, type Model, orderRef, reservationRef } from './model.ts'
import { nameLine, seek, takeNewPlan } from './new-plan-commands.ts'
import { adopt, discard, draft, fix, recall } from './plan-commands.ts'
import { newThing, setUp } from './setup-commands.ts'

const quantity = fc.oneof(fc.integer({ min: 1, max: 8 }), fc.integer({ min: 9, max: 45 }))
/** Days ahead: those that only the last casks can serve, and later ones. */
const ahead = fc.oneof(fc.integer({ min: 1, max: 9 }), fc.integer({ min: 10, max: 28 }))
const which = fc.nat({ max: 50 })
const minutes = fc.integer({ min: 1, max: 90 })

const asked = (n: number, quantity: number, serveOn: string) => ({
  account: ACCOUNT,
  serveOn,
  lines: [{ pack: PACK, quantity, ...lineRef({ n }) }],
})

const ask = fc.tuple(quantity, ahead).map(([casks, days]) =>
  command(`ask ${casks} for day ${days}`, async (model, brewery) => {
    const wantedOn = model.day(days)
    const before = await brewery.revision()
    const { offerToken, earliestServeOn, lines } = await brewery.ask(casks, wantedOn)
    expect(await brewery.revision()).toBe(before)
    expect(offerToken === null).toBe(earliestServeOn === null)
    expect(lines[0]?.served === casks).toBe(earliestServeOn !== null)
    if (offerToken && earliestServeOn)
      model.offers.push({
        ...{ token: offerToken, quantity: casks, wantedOn },
        ...{ serveOn: earliestServeOn, madeAt: model.now },
      })
  }),
)

const order = fc
  .tuple(quantity, ahead, fc.constantFrom('ON_TIME_ONLY', 'LATER', 'AS_DEMAND'))
  .map(([casks, days, accept]) =>
    command(`order ${casks} for day ${days} ${accept}`, async (model, brewery) => {
      const serveOn = model.day(days)
      const n = model.next
      const { allOnTime, earliestServeOn } = await brewery.ask(casks, serveOn)
      const input = { ...asked(n, casks, serveOn), ...orderRef({ n }), accept }
      const tried = await brewery.try(() => placeOrder(brewery.actor, input))
      const fits = accept === 'AS_DEMAND' || (accept === 'LATER' ? earliestServeOn !== null : allOnTime)
      expect(tried).toMatchObject(fits ? { ok: true } : { ok: false, code: 'NO_PLAN_FITS' })
      if (!tried.ok) return
      const promisedOn = accept === 'AS_DEMAND' ? null : accept === 'LATER' ? earliestServeOn : serveOn
      expect(await brewery.promisedOn(`line-${n}`)).toBe(promisedOn)
      model.add({ status: 'OPEN', expiresAt: 0, quantity: casks, serveOn, promisedOn })
    }),
  )

const reserve = fc.tuple(quantity, ahead, minutes).map(([casks, days, lasting]) =>
  command(`reserve ${casks} for day ${days} for ${lasting} min`, async (model, brewery) => {
    const serveOn = model.day(days)
    const n = model.next
    const { allOnTime } = await brewery.ask(casks, serveOn)
    const input = { ...asked(n, casks, serveOn), ...reservationRef({ n }), minutes: lasting }
    const tried = await brewery.try(() => reserveBeer(brewery.actor, input))
    expect(tried).toMatchObject(allOnTime ? { ok: true } : { ok: false, code: 'NO_PLAN_FITS' })
    if (!tried.ok) return
    const expiresAt = model.now + 60_000 * lasting
    model.add({ status: 'RESERVED', reservation: 'ACTIVE', expiresAt, quantity: casks, serveOn, promisedOn: serveOn })
  }),
)

const takeOffer = fc.tuple(which, fc.boolean(), minutes).map(([number, reserves, lasting]) =>
  command(
    `${reserves ? `reserve for ${lasting} min` : 'order'} by offer ${number}`,
    async (model, brewery) => {
      const offer = model.offers[number % model.offers.length]
      if (!offer) return
      const n = model.next
      const past = offer.wantedOn < model.today
      const wantedOn = past ? model.today : offer.wantedOn
      const earliestServeOn = model.reaches(wantedOn)
        ? (await brewery.ask(offer.quantity, wantedOn)).earliestServeOn
        : null
      const { offerToken, ...named } = { offerToken: offer.token, n }
      const tried = await brewery.try(() =>
        reserves
          ? reserveBeer(brewery.actor, { offerToken, ...reservationRef(named), minutes: lasting })
          : placeOrder(brewery.actor, { offerToken, ...orderRef(named) }),
      )
      const fits = earliestServeOn !== null && earliestServeOn <= offer.serveOn
      const old = model.now - offer.madeAt >= OFFER_HOURS * 3_600_000
      // What it became outranks its age, and whether it could be kept once more.
      const used = model.usedOffers.has(offer.token)
      const code = used ? 'OFFER_USED' : old ? 'OFFER_EXPIRED' : 'OFFER_GONE'
      expect(tried).toMatchObject(fits && !old && !used ? { ok: true } : { ok: false, code })
      if (!tried.ok) return
      model.usedOffers.add(offer.token)
      // An offer's lines have no references; give this one its own, so that the model finds it.
      const promisedOn = await nameLine(brewery, tried.answer.id, n, reserves)
      expect(promisedOn !== null && promisedOn <= offer.serveOn).toBe(true)
      model.add({
        ...(reserves
          ? { status: 'RESERVED', reservation: 'ACTIVE', expiresAt: model.now + 60_000 * lasting }
          : { status: 'OPEN', expiresAt: 0 }),
        quantity: offer.quantity,
        serveOn: offer.wantedOn,
        promisedOn,
      })
    },
    ({ offers }) => offers.length > 0,
  ),
)

/** Minutes go by; now and then a night, so that a day ends, offers grow old and the plan is overtaken. */
const pass = fc
  .oneof({ arbitrary: minutes, weight: 9 }, { arbitrary: fc.integer({ min: 600, max: 1500 }), weight: 1 })
  .map((lasting) =>
    command(`wait ${lasting} min`, async (model, brewery) => {
      model.pass(lasting)
      await brewery.setClock(model.now)
    }),
  )

/** A command about a reservation, whatever became of it: it is done, or refused for how it ended. */
function onReservation(
  verb: string,
  call: (brewery: Brewery, holding: Holding) => Promise<unknown>,
  then: (model: Model, holding: Holding) => void,
  again = 'RESERVATION_ENDED',
) {
  return which.map((number) =>
    command(
      `${verb} reservation ${number}`,
      async (model, brewery) => {
        const holding = model.pick(number, ({ reservation }) => reservation !== undefined)
        if (!holding) return
        const tried = await brewery.try(() => call(brewery, holding))
        const codes = { ACTIVE: '', EXPIRED: 'RESERVATION_EXPIRED', RELEASED: 'RESERVATION_ENDED', CONFIRMED: again }
        const code = codes[holding.reservation ?? 'ACTIVE']
        expect(tried).toMatchObject(holding.reservation === 'ACTIVE' ? { ok: true } : { ok: false, code })
        if (!tried.ok) return
        then(model, holding)
      },
      ({ holdings }) => holdings.some(({ reservation }) => reservation !== undefined),
    ),
  )
}

const extend = onReservation(
  'extend',
  ({ actor }, holding) => extendReservation(actor, { reservation: reservationRef(holding), minutes: 45 }),
  (model, holding) => {
    holding.expiresAt = Math.max(holding.expiresAt, model.now + 45 * 60_000)
  },
)

const release = onReservation(
  'release',
  ({ actor }, holding) => releaseReservation(actor, { reservation: reservationRef(holding) }),
  (_model, holding) => {
    holding.status = 'LAPSED'
    holding.reservation = 'RELEASED'
  },
)

const confirm = onReservation(
  'confirm',
  ({ actor }, holding) => placeOrder(actor, { reservation: reservationRef(holding), ...orderRef(holding) }),
  (_model, holding) => {
    holding.status = 'OPEN'
    holding.reservation = 'CONFIRMED'
  },
  // Its order has the reference already.
  'EXTERNAL_REF_TAKEN',
)

const isOrder = ({ status }: Holding) => ['OPEN', 'CANCELLED', 'DELIVERED'].includes(status)

const amend = fc
  .tuple(which, quantity, fc.option(ahead), fc.constantFrom('ON_TIME_ONLY', 'LATER'))
  .map(([number, casks, days, accept]) =>
    command(
      `amend order ${number} to ${casks}${days === null ? '' : ` for day ${days}`} ${accept}`,
      async (model, brewery) => {
        const holding = model.pick(number, isOrder)
        if (!holding) return
        const serveOn = days === null ? holding.serveOn : model.day(days)
        const change = { line: lineRef(holding), quantity: casks, ...(days === null ? {} : { serveOn }) }
        const input = { order: orderRef(holding), accept, changeLines: [change] }
        const dry = await brewery.try(() => amendOrder(brewery.actor, { ...input, dryRun: true }))
        await brewery.expectLines(model)
        const tried = await brewery.try(() => amendOrder(brewery.actor, input))
        expect({ ok: tried.ok }).toEqual({ ok: dry.ok })
        if (holding.status !== 'OPEN') {
          // All that is wrong is said at once, what is wrong with the input first.
          const code = casks < holding.gone ? /^(STATUS_FORBIDS|BELOW_DELIVERED)$/ : /^STATUS_FORBIDS$/
          return expect(tried).toMatchObject({ ok: false, code: expect.stringMatching(code) })
        }
        // What has left is a fact: its day and number stay.
        if (!tried.ok && holding.gone > 0) return
        if (!tried.ok) {
          const keeps = holding.promisedOn !== null && serveOn === holding.serveOn
          expect(tried.code).toBe(keeps ? 'PROMISE_WORSENS' : 'NO_PLAN_FITS')
          // Less of what it has, on the day that it has, is never refused.
          if (!model.disturbed && keeps) expect(casks).toBeGreaterThan(holding.quantity)
          return
        }
        const promisedOn = await brewery.promisedOn(`line-${holding.n}`)
        const onTimeBy = holding.promisedOn !== null && serveOn === holding.serveOn ? holding.promisedOn : serveOn
        if (accept === 'ON_TIME_ONLY') expect(promisedOn !== null && promisedOn <= onTimeBy).toBe(true)
        if (!model.disturbed && serveOn === holding.serveOn && casks <= holding.quantity && holding.promisedOn !== null)
          expect(promisedOn !== null && promisedOn <= holding.promisedOn).toBe(true)
        Object.assign(holding, { quantity: casks, serveOn, promisedOn })
      },
      ({ holdings }) => holdings.some(isOrder),
    ),
  )

const cancel = which.map((number) =>
  command(
    `cancel order ${number}`,
    async (model, brewery) => {
      const holding = model.pick(number, isOrder)
      if (!holding) return
      const tried = await brewery.try(() => cancelOrder(brewery.actor, { order: orderRef(holding) }))
      const code = holding.status === 'OPEN' ? 'ALREADY_DISPATCHED' : 'STATUS_FORBIDS'
      const may = holding.status === 'OPEN' && holding.gone === 0
      expect(tried).toMatchObject(may ? { ok: true } : { ok: false, code })
      if (!tried.ok) return
      holding.status = 'CANCELLED'
    },
    ({ holdings }) => holdings.some(isOrder),
  ),
)

/** Sequences of commands; what sales does and what the floor says comes most often. */
export function sequencesOf(most: number) {
  const sales = [ask, order, order, reserve, reserve, takeOffer, pass, extend, release, confirm, amend, amend, cancel]
  const floor = [say, say, say, say, say, correct, confirmDay, setUp, setUp]
  const others = [newThing, draft, adopt, discard, fix, recall, seek, takeNewPlan]
  return fc.commands([...sales, ...sales, ...floor, ...floor, ...others], { maxCommands: most, size: 'max' })
}
