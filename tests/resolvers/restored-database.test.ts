// A database that comes back without its last commits while the server lives: answers and plans follow the records that are there.
import { afterEach, beforeEach, expect, test } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import { Snapshots } from '../../src/records/snapshots.ts'
import type { Command } from '../../src/resolvers/commands/command.ts'
import { CommandExecutor } from '../../src/resolvers/commands/executor.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { placeOrder } from '../../src/resolvers/orders/place-order.ts'
import type { PlanningActor } from '../../src/resolvers/planning-actor.ts'
import { availability } from '../../src/resolvers/promise/availability.ts'
import { promise } from '../../src/resolvers/promise/promise.ts'
import { reserveBeer } from '../../src/resolvers/reservations/reserve-beer.ts'
import { copyOfRows } from '../support/copied-rows.ts'
import { openPlannedDemo } from '../support/planned-demo.ts'

const { client, pool, clock, actor, scenario, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today, accounts } = scenario.problem
const account = { id: encodeGlobalId('Account', accounts[0]?.id ?? '') }
const serveOn = addDays(today, 10)
const asked = (externalRef: string, quantity: number) => ({
  ...{ account, serveOn, lines: [{ pack: { externalRef }, quantity }] },
})

/** Another server on the same database: it has nothing of this one's memory. */
const other: PlanningActor = { ...actor, snapshots: new Snapshots(), executor: new CommandExecutor() }

/** How many of a pack can be had by the serve day, as a server answers. */
async function leftOf(externalRef: string, by = actor): Promise<number> {
  const { days } = await availability(by, { account, from: serveOn, to: serveOn, packs: [{ externalRef }] })
  return days[0]?.packs[0]?.quantity ?? 0
}

const beginAnew = await copyOfRows(pool, distributorId)
let putBack = beginAnew
beforeEach(async () => {
  await beginAnew()
  // A commit of its own, so that there is a latest one that the copy has.
  await placeOrder(actor, { ...asked('MAR-KEG50', 1), accept: 'AS_DEMAND' })
  putBack = await copyOfRows(pool, distributorId)
})
afterEach(() => actor.jobs.settled())

test('beer that a lost order had is there again, and one that asks gets it', async () => {
  const left = await leftOf('MAR-KEG50')
  expect(left).toBeGreaterThan(0)
  const lost = await placeOrder(actor, { ...asked('MAR-KEG50', left), accept: 'ON_TIME_ONLY' })
  expect(await leftOf('MAR-KEG50')).toBe(0)
  await putBack()
  expect(await leftOf('MAR-KEG50')).toBe(left)
  const { revision } = await stored()
  expect(await promise(actor, asked('MAR-KEG50', left))).toMatchObject({ allOnTime: true, revision })
  expect(await reserveBeer(actor, { ...asked('MAR-KEG50', left), minutes: 10 })).toMatchObject({
    revision: lost.revision,
  })
  await expectValid()
})

test('other commits of the same numbers are followed, and no plan is made on those that were lost', async () => {
  const left = await leftOf('MAR-KEG50')
  const lost = await placeOrder(actor, { ...asked('MAR-KEG50', 1), accept: 'ON_TIME_ONLY' })
  await putBack()
  const made = await placeOrder(other, { ...asked('MAR-KEG50', left - 1), accept: 'ON_TIME_ONLY' })
  expect(made.revision).toBe(lost.revision)
  expect(await leftOf('MAR-KEG50')).toBe(1)
  await expect(placeOrder(actor, { ...asked('MAR-KEG50', 2), accept: 'ON_TIME_ONLY' })).rejects.toMatchObject({
    code: 'NO_PLAN_FITS',
  })
  await placeOrder(actor, { ...asked('MAR-KEG50', 1), accept: 'ON_TIME_ONLY' })
  const { plan, problem } = await expectValid()
  const known = new Set(problem.orderLines.map(({ id }) => id))
  expect(plan.deliveries.filter(({ orderLineId }) => !known.has(orderLineId))).toEqual([])
})

test('what was prepared on lost records is prepared anew on those that are there', async () => {
  await promise(actor, asked('MAR-KEG50', 1))
  await placeOrder(actor, { ...asked('MAR-KEG50', 1), accept: 'ON_TIME_ONLY' })
  let prepared = 0
  const command: Command<number, number> = {
    prepare: async () => {
      prepared += 1
      if (prepared === 1) {
        await putBack()
        await placeOrder(other, { ...asked('MAR-KEG50', 1), accept: 'ON_TIME_ONLY' })
      }
      return prepared
    },
    decide: (_, answer) => ({
      ...{ answer, writes: [] },
      entries: [['ORDER_AMENDED', { type: 'Order', id: 'o' }, undefined, {}]],
    }),
  }
  expect(await actor.executor.execute(actor, { command })).toMatchObject({ result: 2 })
})

test('a snapshot of lost records is not kept in the way of those that are there', async () => {
  await placeOrder(actor, { ...asked('MAR-KEG50', 1), accept: 'ON_TIME_ONLY' })
  await placeOrder(actor, { ...asked('MAR-KEG50', 1), accept: 'ON_TIME_ONLY' })
  await putBack()
  await leftOf('MAR-KEG50')
  const version = await client.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  expect(actor.snapshots.inMemory(distributorId, version, { today, at: clock.now() })).toBeDefined()
})
