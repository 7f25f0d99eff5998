// What the office can change, one command each: the set-up of everything that plans depend on, and new things beside it.
import * as fc from 'fast-check'
import { addDays, type LocalDate } from '../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import type { PlanningActor } from '../../src/resolvers/planning-actor.ts'
import { changeAccount, createAccount, retireAccount } from '../../src/resolvers/setup/account.ts'
import { changeBatch, createBatch } from '../../src/resolvers/setup/batch.ts'
import { changeBeer, createBeer, retireBeer } from '../../src/resolvers/setup/beer.ts'
import {
  changeContainerType,
  createContainerType,
  retireContainerType,
} from '../../src/resolvers/setup/container-type.ts'
import { changeDistributor } from '../../src/resolvers/setup/distributor.ts'
import { changeFiller, createFiller, retireFiller } from '../../src/resolvers/setup/filler.ts'
import { changeFleet, createFleet, retireFleet } from '../../src/resolvers/setup/fleet.ts'
import { changePack, createPack, retirePack } from '../../src/resolvers/setup/pack.ts'
import { changeRoute, createRoute, retireRoute } from '../../src/resolvers/setup/route.ts'
import { changeSite, createSite, retireSite } from '../../src/resolvers/setup/site.ts'
import { changeStockLot, createStockLot } from '../../src/resolvers/setup/stock-lot.ts'
import { changeStore, createStore, retireStore } from '../../src/resolvers/setup/store.ts'
import { changeVessel, createVessel, retireVessel } from '../../src/resolvers/setup/vessel.ts'
import { KINDS } from '../api/setup-kinds.ts'
import { command } from './command.ts'

/** What a change is drawn with. */
interface Given {
  today: LocalDate
  /** From 1 to 30. */
  amount: number
  /** Names of new things. */
  n: number
}

type Change = [
  mutation: string,
  of: (actor: PlanningActor, input: object) => Promise<unknown>,
  input: (given: Given) => object,
]

const ref = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const span = ({ today, amount }: Given) => ({ from: addDays(today, amount % 3), to: addDays(today, (amount % 10) + 2) })

/** Changes that may break the plan in force, and those that make room again. */
const CHANGES: readonly Change[] = [
  [
    'changeAccount',
    changeAccount,
    ({ amount }) => ({ account: ref('Account', 'A-1'), maxEarlyDays: amount % 8, returnDays: amount }),
  ],
  [
    'changeBatch',
    changeBatch,
    ({ today, amount }) => ({ batch: ref('Batch', 'BATCH'), readyAt: `${addDays(today, amount % 9)}T06:00:00Z` }),
  ],
  [
    'changeBeer',
    changeBeer,
    ({ amount }) => ({ beer: ref('Beer', 'ale'), fermentHours: 24 * (2 + (amount % 5)), maxTankDays: 10 + amount }),
  ],
  [
    'changeContainerType',
    changeContainerType,
    ({ amount }) => ({ containerType: ref('ContainerType', 'firkin'), overfillFraction: (amount % 4) / 100 }),
  ],
  [
    'changeDistributor',
    changeDistributor,
    ({ amount }) => ({ horizonDays: 25 + (amount % 10), frozenDays: amount % 3 }),
  ],
  ['changeFiller', changeFiller, ({ amount }) => ({ filler: ref('Filler', 'rack'), minutesPerDay: 40 + 12 * amount })],
  ['changeFleet', changeFleet, ({ amount }) => ({ fleet: ref('Fleet', 'yard/firkin'), washDays: amount % 3 })],
  [
    'changePack',
    changePack,
    ({ amount }) => ({ pack: ref('Pack', 'ale-firkin'), conditioningDays: amount % 4, shelfLifeDays: 20 + amount }),
  ],
  [
    'changeRoute',
    changeRoute,
    ({ today, amount }) => ({
      route: ref('Route', 'van'),
      capacityLitres: 400 + 60 * amount,
      closedOn: [addDays(today, amount % 5)],
    }),
  ],
  [
    'changeSite',
    changeSite,
    (given) => ({
      site: ref('Site', 'yard'),
      closedOn: [addDays(given.today, given.amount % 6)],
      unsaidWork: given.amount % 2 ? 'ASSUMED' : 'DUE_UNTIL_SAID',
    }),
  ],
  [
    'changeStockLot',
    changeStockLot,
    ({ today, amount }) => ({ stockLot: ref('StockLot', 'STOCK'), readyOn: addDays(today, (amount % 6) - 3) }),
  ],
  [
    'changeStore',
    changeStore,
    ({ amount }) => ({ store: ref('Store', 'yard/COLD'), capacityLitres: 1000 + 300 * amount }),
  ],
  ['changeVessel', changeVessel, (given) => ({ vessel: ref('Vessel', 'FV2'), outOfService: [span(given)] })],
  [
    'changeVessel',
    changeVessel,
    (given) => ({ vessel: ref('Vessel', 'FV1'), outOfService: given.amount % 2 ? [span(given)] : [] }),
  ],
  ['retireVessel', retireVessel, ({ n }) => ({ vessel: { externalRef: `FV-${n}` } })],
  [
    'createVessel',
    createVessel,
    ({ n }) => ({
      ...{ externalRef: `FV-${n}`, site: ref('Site', 'yard'), name: `FV ${n}`, kind: 'FERMENTER' },
      ...{ capacityLitres: 800, minFillLitres: 300, turnaroundDays: 1 },
    }),
  ],
  [
    'createAccount',
    createAccount,
    ({ n }) => ({ externalRef: `N-${n}`, name: `New ${n}`, routes: [ref('Route', 'van')] }),
  ],
  [
    'createBatch',
    createBatch,
    ({ today, n }) => ({
      ...{ code: `NEW-${n}`, beer: ref('Beer', 'ale'), vessel: ref('Vessel', 'FV2') },
      ...{ litres: 500, readyAt: `${addDays(today, 2)}T06:00:00Z` },
    }),
  ],
  [
    'createStockLot',
    createStockLot,
    ({ today, amount, n }) => ({
      ...{ code: `LOT-${n}`, site: ref('Site', 'yard'), pack: ref('Pack', 'ale-firkin'), quantity: amount },
      ...{ filledOn: today, readyOn: addDays(today, 2), bestBefore: addDays(today, 40) },
    }),
  ],
]

type Write = (actor: PlanningActor, input: object) => Promise<unknown>

/** Things beside those that plans use, of every kind that can be retired: where one is there or gone already, it is refused. */
const NEW_THINGS: readonly [kind: string, create: Write, retire: Write][] = [
  ['Site', createSite, retireSite],
  ['Beer', createBeer, retireBeer],
  ['Pack', createPack, retirePack],
  ['ContainerType', createContainerType, retireContainerType],
  ['Filler', createFiller, retireFiller],
  ['Fleet', createFleet, retireFleet],
  ['Store', createStore, retireStore],
  ['Route', createRoute, retireRoute],
  ['Account', createAccount, retireAccount],
]

/** The mutations that these commands are. */
export const SETUP_MUTATIONS: readonly string[] = [
  ...CHANGES.map(([mutation]) => mutation),
  ...NEW_THINGS.flatMap(([kind]) => [`create${kind}`, `retire${kind}`]),
]

/** Something beside what plans use is set up, or retired. */
export const newThing = fc
  .tuple(fc.constantFrom(...NEW_THINGS), fc.boolean())
  .map(([[kind, create, retire], retires]) =>
    command(`${retires ? 'retire' : 'create'}${kind}`, async (_model, brewery) => {
      const given = KINDS.find((each) => each.kind === kind)?.create ?? {}
      const field = kind.charAt(0).toLowerCase() + kind.slice(1)
      const named = { [field]: { externalRef: given.externalRef } }
      await brewery.try(() => (retires ? retire(brewery.actor, named) : create(brewery.actor, given)))
    }),
  )

/** Something of the set-up is otherwise; what is refused was wrong, as a second batch in a vessel. */
export const setUp = fc
  .tuple(fc.constantFrom(...CHANGES), fc.integer({ min: 1, max: 30 }), fc.integer({ min: 1, max: 3 }))
  .map(([[mutation, change, input], amount, n]) =>
    command(`${mutation} by ${amount}, ${n}`, async (model, brewery) => {
      await brewery.try(() => change(brewery.actor, input({ today: model.today, amount, n })))
      model.disturbed = true
      model.horizonDays = await brewery.horizonDays()
    }),
  )
