// A wish holds the last casks; a firm order, or a reservation, gets them; the answer says which line gave way.
import { expect, test } from 'vitest'
import { LAST_CASKS, LAST_CASKS_SERVE_IN, lastCasksScenario } from '../../../seeds/last-casks.ts'
import { todayIn } from '../../../src/clock.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { loadProblem } from '../../../src/records/load-problem.ts'
import { saveSetup } from '../../../src/records/save-setup.ts'
import { Snapshots } from '../../../src/records/snapshots.ts'
import { CommandExecutor } from '../../../src/resolvers/commands/executor.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { amendOrder } from '../../../src/resolvers/orders/amend-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import type { PlanningActor } from '../../../src/resolvers/planning-actor.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { availability } from '../../../src/resolvers/promise/availability.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { openTestDatabase } from '../../support/database.ts'
import { testJobs } from '../../support/jobs.ts'

const ZONE = 'Etc/UTC'
const { client, clock } = await openTestDatabase()
const today = todayIn(clock, ZONE)
const serveOn = addDays(today, LAST_CASKS_SERVE_IN)
const account = { externalRef: 'A-1' }
const pack = { externalRef: 'ale-firkin' }
let breweries = 0

/** A distributor of its own whose last casks are all held by one wish of priority 3. */
async function opened() {
  breweries += 1
  const services = { client, clock, onFault: (error: unknown) => expect(error).toBe(undefined) }
  const actor: PlanningActor = {
    ...{ ...services, distributorId: `last-${breweries}`, snapshots: new Snapshots() },
    ...{ executor: new CommandExecutor(), jobs: testJobs(services) },
  }
  const scenario = lastCasksScenario(today, ZONE)
  const { plan } = makePlan(scenario.problem, { steps: 0 })
  const problem = { ...scenario.problem, baseline: plan }
  await client.$transaction((tx) => saveSetup(tx, actor.distributorId, { ...scenario, problem }, clock.now()))
  const wish = await placeOrder(actor, { ...asked(LAST_CASKS), accept: 'AS_DEMAND' })
  expect(wish.outcome).toMatchObject([{ expectedOn: serveOn, served: LAST_CASKS }])
  return { actor, wishId: wish.outcome[0]?.lineId ?? '' }
}

const asked = (quantity: number, priority = 3) => ({ account, serveOn, lines: [{ pack, quantity, priority }] })

/** The plan in force as its rows say it, held to all rules: how a line is served. */
async function served({ distributorId }: PlanningActor, lineId: string) {
  const { problem } = await client.$transaction((tx) => loadProblem(tx, distributorId, { today, at: clock.now() }))
  const { baseline } = problem
  if (!baseline) throw new Error('no plan is in force')
  // An adopted plan states its churn against the plan before it.
  expect(checkPlan(problem, baseline).violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
  return baseline.deliveries.filter(({ orderLineId }) => orderLineId === lineId).map((each) => each.serveOn)
}

test('a firm order gets the last casks from a wish, and says so; the change log has it and the wish is served later', async () => {
  const { actor, wishId } = await opened()
  const question = await promise(actor, asked(4, 1))
  expect(question).toMatchObject({ allOnTime: true, earliestServeOn: serveOn })
  const dry = await placeOrder(actor, { ...asked(4, 1), accept: 'ON_TIME_ONLY', dryRun: true })
  expect(await served(actor, wishId)).toEqual([serveOn])
  const { revision, gaveWay } = await placeOrder(actor, { ...asked(4, 1), accept: 'ON_TIME_ONLY' })
  expect(gaveWay).toMatchObject([
    { orderLineId: wishId, before: { serveOn, served: LAST_CASKS }, after: { served: LAST_CASKS } },
  ])
  expect([question.gaveWay(), dry.gaveWay]).toEqual([gaveWay, gaveWay])
  const later = gaveWay[0]?.after.serveOn ?? ''
  expect(later > serveOn).toBe(true)
  expect(await served(actor, wishId)).toEqual([later])
  const entry = await client.changeLogEntry.findFirstOrThrow({
    where: { distributorId: actor.distributorId, revision, kind: 'WISH_GAVE_WAY' },
  })
  expect(entry).toMatchObject({
    ...{ entityType: 'OrderLine', entityId: wishId, before: { expectedOn: serveOn, served: LAST_CASKS } },
    after: { expectedOn: later, served: LAST_CASKS, cause: { kind: 'ORDER_PLACED', type: 'Order' } },
  })
})

test('a reservation and an amendment get them too; another wish does not', async () => {
  const { actor, wishId } = await opened()
  const wish = await placeOrder(actor, { ...asked(4, 1), accept: 'AS_DEMAND', externalRef: 'second' })
  expect(wish.gaveWay).toEqual([])
  expect((wish.outcome[0]?.expectedOn ?? '') > serveOn).toBe(true)
  const amended = await amendOrder(actor, {
    order: { externalRef: 'second' },
    changeLines: [{ line: { id: encodeGlobalId('OrderLine', wish.outcome[0]?.lineId ?? '') }, quantity: 5 }],
    accept: 'ON_TIME_ONLY',
  })
  expect(amended.gaveWay.map(({ orderLineId }) => orderLineId)).toEqual([wishId])
  const reserved = await reserveBeer(actor, asked(LAST_CASKS - 5))
  expect(reserved.gaveWay?.map(({ orderLineId }) => orderLineId)).toEqual([wishId])
  await expect(reserveBeer(actor, asked(1))).rejects.toMatchObject({ code: 'NO_PLAN_FITS' })
})

test('what can be offered counts what wishes hold', async () => {
  const { actor } = await opened()
  const { days } = await availability(actor, { account, from: serveOn, to: serveOn, packs: [pack] })
  expect(days).toMatchObject([{ packs: [{ quantity: LAST_CASKS }] }])
  expect((await promise(actor, asked(LAST_CASKS))).allOnTime).toBe(true)
  expect((await promise(actor, asked(LAST_CASKS + 1))).allOnTime).toBe(false)
})

test('a draft that was begun before a wish gave way comes into force with the promise kept and the wish placed anew', async () => {
  const { actor, wishId } = await opened()
  const { id } = await draftPlan(actor, { effort: { steps: 0 } })
  await actor.jobs.settled()
  const placed = await placeOrder(actor, { ...asked(4, 1), accept: 'ON_TIME_ONLY' })
  expect(placed.gaveWay.map(({ orderLineId }) => orderLineId)).toEqual([wishId])
  const adopted = await adoptPlan(actor, { id: encodeGlobalId('Plan', id) })
  expect(adopted.brokenPromises).toEqual([])
  expect(await served(actor, placed.outcome[0]?.lineId ?? '')).toEqual([serveOn])
  const [later] = await served(actor, wishId)
  expect((later ?? '') > serveOn).toBe(true)
})
