// What the plan in force cannot promise and a new plan could, without making anyone later: found in the background, offered, and
// taken up in one act. The small brewery fills five casks a day, none today; beer that is filled on a day can be served two days later.
import { describe, expect, test } from 'vitest'
import { Conflict } from '../../../src/errors.ts'
import type { OrderLine, Plan, Problem } from '../../../src/planner/documents/index.ts'
import { addDays, deliveredByLine } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan, openTrial } from '../../../src/planner/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { fixInPlan } from '../../../src/resolvers/plans/fix-in-plan.ts'
import { MOST_SEARCHING, newPlanSearch } from '../../../src/resolvers/promise/new-plan.ts'
import { OFFER_HOURS } from '../../../src/resolvers/promise/offer-token.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { reserveWithNewPlan } from '../../../src/resolvers/reservations/reserve-with-new-plan.ts'
import { testJobs } from '../../support/jobs.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { openPlannedBrewery, openPlannedDemo } from '../../support/planned-demo.ts'
import { WHOLE } from '../../support/sampled.ts'

const globalId = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })

/** A planned brewery with who asks for new plans of some steps, and how they ask. */
function asking(planned: Awaited<ReturnType<typeof openPlannedBrewery>>) {
  const actor = { ...planned.actor, newPlanEffort: { steps: 100 } }
  const question = (accountId: string, packId: string, quantity: number, serveOn: string) => ({
    account: globalId('Account', accountId),
    serveOn,
    lines: [{ pack: globalId('Pack', packId), quantity }],
  })
  /** Begins a search; it is not waited for. */
  const begun = async (asked: ReturnType<typeof question>, by = actor) => (await promise(by, asked)).newPlan(true)
  /** Asks, and waits for what is found. */
  const sought = async (asked: ReturnType<typeof question>) => {
    const search = await begun(asked)
    expect(search).toMatchObject({ state: 'SEARCHING' })
    await actor.jobs.settled()
    return newPlanSearch(actor, search?.id ?? '')
  }
  return { ...planned, actor, question, begun, sought }
}

/** The small brewery with 400 litres in its tank, and five casks that the plan fills tomorrow though they could wait. */
async function opened({ lines = [order('a', 5, 8, { promisedOn: day(8) })] }: { lines?: OrderLine[] } = {}) {
  const { fillers, batches, ...brewery } = oneVesselBrewery({ frozenDays: 1 })
  const problem = {
    ...{ ...brewery, orderLines: lines },
    batches: batches.map((batch) => ({ ...batch, litres: 400 })),
    fillers: fillers.map((filler) => ({ ...filler, minutesPerDay: 25 })),
  }
  const later = Object.fromEntries(Array.from({ length: 12 }, (_, n) => [day(n + 2), 0]))
  const early = { ...problem, fillers: problem.fillers.map((filler) => ({ ...filler, minutesOn: later })) }
  const { plan } = makePlan(early, { steps: 20 })
  expect(plan.fillRuns).toMatchObject([{ on: day(1), quantity: 5 }])
  const it = asking(await openPlannedBrewery(problem, plan))
  return { ...it, casks: (quantity: number, on = 3) => it.question('inn', 'cask', quantity, day(on)) }
}

/** No line is served less or later than before, and the checker accepts the plan. */
function expectNoneLater(before: Plan, problem: Problem, after: Plan) {
  const [was, is] = [deliveredByLine(before.deliveries), deliveredByLine(after.deliveries)]
  for (const [id, { quantity, last }] of was) {
    const now = is.get(id) ?? { quantity: 0, last: '' }
    expect(now.quantity).toBeGreaterThanOrEqual(quantity)
    expect(now.quantity > quantity || now.last <= last).toBe(true)
  }
  expect(checkPlan(problem, after).violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
}

/** What a plan decides before a day, and what leaves on the first one. */
function early({ brews, transfers, fillRuns, deliveries }: Plan, today: string, frozenUntil: string) {
  return {
    brews: new Set(brews.filter(({ brewOn }) => brewOn < frozenUntil)),
    transfers: new Set(transfers.filter(({ on }) => on < frozenUntil)),
    fillRuns: new Set(fillRuns.filter(({ on }) => on < frozenUntil)),
    deliveries: new Set(deliveries.filter(({ dispatchOn }) => dispatchOn === today)),
  }
}

test.runIf(WHOLE)(
  'in the demo it is offered, and one act puts the plan in force and reserves the beer for the wanted day',
  async () => {
    const { actor, client, question, begun, stored, expectValid } = asking(await openPlannedDemo())
    const before = await stored()
    const { today, frozenDays, accounts, beers } = before.problem
    const wanted = addDays(today, 10)
    /** The first question that the plan cannot keep and another could: how many containers, and what was found. */
    const foundFor = async () => {
      for (const { id } of beers.flatMap(({ packs }) => packs))
        for (const quantity of [2, 4]) {
          const search = await begun(question(accounts[0]?.id ?? '', id, quantity, wanted))
          await actor.jobs.settled()
          const found = search && (await newPlanSearch(actor, search.id ?? ''))
          if (found?.state === 'FOUND') return { quantity, found }
        }
      throw new Error('no plan of the demo serves more than the one in force')
    }
    const { quantity, found } = await foundFor()
    expect(found).toMatchObject({ fromRevision: before.revision, limits: [] })
    expect(found.message).toMatch(/^A new plan serves it by .*no other line is served later\.$/)
    const { alternative } = found
    expect(alternative).toMatchObject({
      kind: 'NEW_PLAN',
      serveOn: wanted,
      asked: [{ got: quantity, missing: 0, onTime: true }],
    })
    expect(alternative?.lines).toMatchObject([{ served: quantity, onTime: true, serveOn: wanted }])
    expect(await stored()).toEqual(before)

    const given = { offerToken: alternative?.offerToken ?? '', minutes: 20, externalRef: 'NEW' }
    const { id, planId, revision } = await reserveWithNewPlan(actor, given)
    expect(revision).toBe(before.revision + 1)
    const after = await expectValid()
    expectNoneLater(before.plan, after.problem, after.plan)
    const frozenUntil = addDays(today, Math.max(1, frozenDays))
    expect(early(after.plan, today, frozenUntil)).toEqual(early(before.plan, today, frozenUntil))
    const reservation = await client.reservation.findFirstOrThrow({
      where: { id },
      include: { order: { include: { lines: true } } },
    })
    expect(reservation).toMatchObject({ status: 'ACTIVE', externalRef: 'NEW' })
    const served = deliveredByLine(after.plan.deliveries).get(reservation.order.lines[0]?.id ?? '')
    expect(served).toEqual({ quantity, last: wanted })
    expect(await client.plan.findFirst({ where: { status: 'IN_FORCE' } })).toMatchObject({ id: planId })
    const entries = await client.changeLogEntry.findMany({ where: { revision } })
    expect(entries.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['RESERVATION_MADE', 'PLAN_ADOPTED']))
    // It becomes an order like every reservation.
    await placeOrder(actor, { reservation: { externalRef: 'NEW' } })
    await expectValid()
  },
)

describe('a search', () => {
  test('begins once for one question and revision, for a key that may reserve, and a few at a time', async () => {
    const { actor, client, casks, begun } = await opened()
    expect(await (await promise(actor, casks(5))).newPlan(false)).toMatchObject({ state: 'NOT_SOUGHT' })
    expect(await client.newPlanSearch.count()).toBe(0)
    const later = { ...actor, jobs: { ...actor.jobs, wake: () => undefined } }
    const [one, same] = await Promise.all([begun(casks(5), later), begun(casks(5), later)])
    expect(one?.id).toBe(same?.id)
    expect(await client.newPlanSearch.count()).toBe(1)
    for (const quantity of [4, 3, 2]) await begun(casks(quantity), later)
    expect(await begun(casks(1), later)).toMatchObject({
      state: 'NOT_SOUGHT',
      message: expect.stringMatching('ask again'),
    })
    expect(await client.newPlanSearch.count()).toBe(MOST_SEARCHING)
    expect(await client.job.count({ where: { kind: 'SEARCH_NEW_PLAN' } })).toBe(MOST_SEARCHING)
    actor.jobs.wake()
    await actor.jobs.settled()
    // What is known may be read by all.
    expect(await (await promise(actor, casks(5))).newPlan(false)).toMatchObject({ state: 'FOUND', id: one?.id })
    expect(await client.newPlanSearch.count({ where: { status: 'SEARCHING' } })).toBe(0)
  })

  test('is for a named day that cannot be kept, and can be switched off', async () => {
    const { actor, casks, begun } = await opened()
    const { serveOn: _, ...undated } = casks(5)
    expect(await (await promise(actor, undated)).newPlan(true)).toBeNull()
    expect(await begun(casks(5, 5))).toBeNull()
    const never = await promise({ ...actor, newPlanEffort: { seconds: 0 } }, casks(5))
    expect(await never.newPlan(true)).toBeNull()
  })

  test('offers nothing where only making someone later would help, and says what binds', async () => {
    const { sought, casks, stored } = await opened({ lines: [order('a', 5, 3, { promisedOn: day(3) })] })
    const found = await sought(casks(5))
    expect(found).toMatchObject({ state: 'NONE', message: expect.stringMatching(/^No new plan was found/) })
    expect(found.limits).toContainEqual(expect.objectContaining({ rule: 'L1' }))
    expect(found.alternative).toBeUndefined()
    // Were it not for the line that would be later, it could be had.
    const { problem } = await stored()
    const alone = { ...problem, orderLines: [], baseline: undefined }
    const [answer] = openTrial(alone, makePlan(alone, { steps: 0 }).plan).promise([order('asked', 5, 3)])
    expect(answer).toMatchObject({ onTime: true })
  })

  test('leaves what is fixed as it is: the beer of a fixed run may go to somebody else', async () => {
    const { actor, client, sought, casks, expectValid } = await opened()
    const { id, planId } = await client.fillRun.findFirstOrThrow()
    await fixInPlan(actor, { fillRun: encodeGlobalId('FillRun', `${planId}/${id}`) })
    const found = await sought(casks(5))
    expect(found).toMatchObject({ state: 'FOUND', moves: { changed: 0, added: 1 } })
    await reserveWithNewPlan(actor, { offerToken: found.alternative?.offerToken ?? '' })
    const { plan } = await expectValid()
    expect(plan.fillRuns).toContainEqual(expect.objectContaining({ id, on: day(1), quantity: 5, fixed: true }))
  })

  test('is taken up by another process where its own ends, and is given up where that ends too', async () => {
    const { actor, client, clock, faults, casks, begun } = await opened()
    const dying = { ...actor, jobs: { ...actor.jobs, wake: () => undefined } }
    /** As it is when its process ended in the midst of an attempt. */
    const dies = (attempts: number) =>
      client.job.updateMany({
        where: { kind: 'SEARCH_NEW_PLAN', state: 'WAITING' },
        data: { state: 'RUNNING', attempts, leaseToken: 'gone', leaseUntil: new Date(0), worker: 'gone' },
      })
    const search = await begun(casks(5), dying)
    await dies(1)
    const other = testJobs({ client, clock, onFault: (error) => faults.push(error) })
    other.wake()
    await other.settled()
    expect(await newPlanSearch(actor, search?.id ?? '')).toMatchObject({ state: 'FOUND' })
    const lost = await begun(casks(4), dying)
    await dies(2)
    other.wake()
    await other.settled()
    expect(await newPlanSearch(actor, lost?.id ?? '')).toMatchObject({ state: 'FAILED' })
    expect(faults).toEqual([])
  })
})

describe('the offer', () => {
  const tokenOf = (found: Awaited<ReturnType<typeof newPlanSearch>>) => ({
    offerToken: found.alternative?.offerToken ?? '',
  })

  test('is kept where what others did since leaves it as it is', async () => {
    const { actor, sought, casks, stored, expectValid, question } = await opened()
    const found = await sought(casks(4))
    const placed = { ...question('inn', 'cask', 1, day(9)), accept: 'ON_TIME_ONLY' }
    await placeOrder(actor, placed)
    const before = await stored()
    await reserveWithNewPlan(actor, tokenOf(found))
    const after = await expectValid()
    expectNoneLater(before.plan, after.problem, after.plan)
    expect(after.problem.orderLines).toHaveLength(3)
    expect(after.plan.unserved).toEqual([])
  })

  test('is kept for one of two who race for the same beer; the other hears what changed', async () => {
    const { actor, sought, casks, stored, expectValid } = await opened()
    const before = await stored()
    const [five, four] = [await sought(casks(5)), await sought(casks(4))]
    const outcomes = await Promise.allSettled([five, four].map((found) => reserveWithNewPlan(actor, tokenOf(found))))
    expect(outcomes.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected'])
    const reason: unknown = outcomes.flatMap((each) => (each.status === 'rejected' ? [each.reason] : []))[0]
    if (!(reason instanceof Conflict)) throw reason
    expect(reason).toMatchObject({ code: 'REVISION_MOVED' })
    expect(reason.changes.map(({ event }) => event)).toEqual(expect.arrayContaining(['PLAN_ADOPTED']))
    expect(reason.obstacles).toContainEqual(expect.objectContaining({ kind: 'SERVED_LATER' }))
    const after = await expectValid()
    expectNoneLater(before.plan, after.problem, after.plan)
    expect(after.problem.orderLines).toHaveLength(2)
    expect(after.revision).toBe(before.revision + 1)
  })

  test('is taken up once: the second time it would take the same beer again', async () => {
    const { actor, sought, casks, expectValid } = await opened()
    const found = await sought(casks(5))
    await reserveWithNewPlan(actor, tokenOf(found))
    await expect(reserveWithNewPlan(actor, tokenOf(found))).rejects.toMatchObject({ code: 'OFFER_USED' })
    await expectValid()
  })

  test('runs out, is signed, and is taken up by its own mutation only', async () => {
    const { actor, client, clock, sought, casks, stored } = await opened()
    const { revision } = await stored()
    const found = await sought(casks(5))
    const refused = (work: Promise<unknown>, code: string) =>
      expect(work).rejects.toMatchObject({ issues: [{ path: 'offerToken', code }] })
    await refused(reserveBeer(actor, tokenOf(found)), 'OFFER_OF_OTHER_KIND')
    const { offerToken } = await promise(actor, casks(5, 6))
    await refused(reserveWithNewPlan(actor, { offerToken }), 'OFFER_OF_OTHER_KIND')
    await refused(reserveWithNewPlan(actor, { offerToken: `${tokenOf(found).offerToken}A` }), 'OFFER_ALTERED')
    clock.set(new Date(clock.now().getTime() + OFFER_HOURS * 3_600_000))
    await refused(reserveWithNewPlan(actor, tokenOf(found)), 'OFFER_EXPIRED')
    clock.set(new Date(clock.now().getTime() - 3_600_000))
    await client.newPlanSearch.deleteMany()
    await expect(reserveWithNewPlan(actor, tokenOf(found))).rejects.toMatchObject({ code: 'OFFER_GONE' })
    expect((await stored()).revision).toBe(revision)
  })
})
