// The use-cases behind mutations and questions, by the names that the schema gives them.
import { createApiKey, rotateApiKey } from '../../src/resolvers/access/keys.ts'
import { draftRecall } from '../../src/resolvers/floor/draft-recall.ts'
import { amendOrder } from '../../src/resolvers/orders/amend-order.ts'
import { cancelOrder } from '../../src/resolvers/orders/cancel-order.ts'
import { orderWhere } from '../../src/resolvers/orders/order-filter.ts'
import { placeOrder } from '../../src/resolvers/orders/place-order.ts'
import type { PlanningActor } from '../../src/resolvers/planning-actor.ts'
import { adoptPlan } from '../../src/resolvers/plans/adopt-plan.ts'
import { compare } from '../../src/resolvers/plans/compare.ts'
import { draftPlan } from '../../src/resolvers/plans/draft-plan.ts'
import { availability } from '../../src/resolvers/promise/availability.ts'
import { promise } from '../../src/resolvers/promise/promise.ts'
import { extendReservation } from '../../src/resolvers/reservations/extend-reservation.ts'
import { reservationWhere } from '../../src/resolvers/reservations/reservation-filter.ts'
import { reserveBeer } from '../../src/resolvers/reservations/reserve-beer.ts'
import { reserveWithNewPlan } from '../../src/resolvers/reservations/reserve-with-new-plan.ts'
import * as accounts from '../../src/resolvers/setup/account.ts'
import * as batches from '../../src/resolvers/setup/batch.ts'
import * as beers from '../../src/resolvers/setup/beer.ts'
import * as containerTypes from '../../src/resolvers/setup/container-type.ts'
import { changeDistributor } from '../../src/resolvers/setup/distributor.ts'
import * as fillers from '../../src/resolvers/setup/filler.ts'
import * as fleets from '../../src/resolvers/setup/fleet.ts'
import * as packs from '../../src/resolvers/setup/pack.ts'
import * as routes from '../../src/resolvers/setup/route.ts'
import * as sites from '../../src/resolvers/setup/site.ts'
import * as lots from '../../src/resolvers/setup/stock-lot.ts'
import * as stores from '../../src/resolvers/setup/store.ts'
import * as vessels from '../../src/resolvers/setup/vessel.ts'
import { registerWebhook, rotateWebhookSecret } from '../../src/resolvers/webhooks/webhooks.ts'

export type UseCase = (input: object) => Promise<unknown>

/** All of them, done by one actor. */
export function useCasesBy(actor: PlanningActor): Readonly<Record<string, UseCase>> {
  const asActor =
    (work: (by: PlanningActor, input: unknown) => Promise<unknown>): UseCase =>
    (input) =>
      work(actor, input)
  return {
    createSite: asActor(sites.createSite),
    changeSite: asActor(sites.changeSite),
    createVessel: asActor(vessels.createVessel),
    changeVessel: asActor(vessels.changeVessel),
    createBeer: asActor(beers.createBeer),
    changeBeer: asActor(beers.changeBeer),
    createPack: asActor(packs.createPack),
    changePack: asActor(packs.changePack),
    createContainerType: asActor(containerTypes.createContainerType),
    changeContainerType: asActor(containerTypes.changeContainerType),
    createFiller: asActor(fillers.createFiller),
    changeFiller: asActor(fillers.changeFiller),
    createFleet: asActor(fleets.createFleet),
    changeFleet: asActor(fleets.changeFleet),
    createStore: asActor(stores.createStore),
    changeStore: asActor(stores.changeStore),
    createRoute: asActor(routes.createRoute),
    changeRoute: asActor(routes.changeRoute),
    createAccount: asActor(accounts.createAccount),
    changeAccount: asActor(accounts.changeAccount),
    createBatch: asActor(batches.createBatch),
    changeBatch: asActor(batches.changeBatch),
    createStockLot: asActor(lots.createStockLot),
    changeStockLot: asActor(lots.changeStockLot),
    changeDistributor: asActor(changeDistributor),
    createApiKey: (input) => createApiKey(actor, new Set(), input),
    registerWebhook: asActor(registerWebhook),
    rotateWebhookSecret: asActor(rotateWebhookSecret),
    rotateApiKey: (input) => rotateApiKey(actor, new Set(), input),
    placeOrder: asActor(placeOrder),
    reserveBeer: asActor(reserveBeer),
    reserveWithNewPlan: asActor(reserveWithNewPlan),
    extendReservation: asActor(extendReservation),
    amendOrder: asActor(amendOrder),
    cancelOrder: asActor(cancelOrder),
    adoptPlan: asActor(adoptPlan),
    draftPlan: asActor(draftPlan),
    draftRecall: (input) => draftRecall(actor, input, 'the office'),
    compare: asActor(compare),
    promise: asActor(promise),
    availability: asActor(availability),
    orders: asActor(orderWhere),
    reservations: asActor(reservationWhere),
  }
}
