// A better plan at hand: found in the background, offered or adopted as the distributor has set, and never at a promise's cost.
import { beforeEach, describe, expect, test } from 'vitest'
import { enqueue } from '../../../src/jobs/enqueue.ts'
import type { Plan } from '../../../src/planner/documents/index.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { checkPlan } from '../../../src/planner/index.ts'
import { loadPlan } from '../../../src/records/load-plan.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { AT_HAND, FIND_BETTER, leavesWorkAlone, untouchedDays } from '../../../src/resolvers/plans/better-plan.ts'
import { newlyBroken } from '../../../src/resolvers/plans/broken-promises.ts'
import { changeDistributor } from '../../../src/resolvers/setup/distributor.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, clock, actor, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor

/** Steps of a search in a test. */
const EFFORT = { seed: 2, steps: 300 }

/** Looks for a better plan now, and waits for what follows. */
async function look() {
  await client.$transaction((tx) =>
    enqueue({ tx, clock }, distributorId, FIND_BETTER, { effort: EFFORT }, { key: 'in a test' }),
  )
  actor.jobs.wake()
  await actor.jobs.settled()
}

const atHand = () => client.plan.findMany({ where: { distributorId, ...AT_HAND } })
const inForce = () => client.plan.findFirstOrThrow({ where: { distributorId, status: 'IN_FORCE' } })
const policy = (betterPlans: string, betterPlanSaving = 0) =>
  changeDistributor(actor, { betterPlans, betterPlanSaving })

/** What a plan decides before a day, and what leaves on its days. */
function decidedBefore({ brews, transfers, fillRuns, deliveries }: Plan, day: string) {
  return {
    brews: new Set(brews.filter(({ brewOn }) => brewOn < day)),
    transfers: new Set(transfers.filter(({ on }) => on < day)),
    fillRuns: new Set(fillRuns.filter(({ on }) => on < day)),
    deliveries: new Set(deliveries.filter(({ dispatchOn }) => dispatchOn < day)),
  }
}

beforeEach(() => client.plan.deleteMany({ where: { distributorId, ...AT_HAND } }))

describe('a better plan', () => {
  test('is offered as a draft that saves what it says and moves nothing up to the next fill day', async () => {
    await policy('OFFERED')
    const before = await stored()
    await look()
    const [draft, ...more] = await atHand()
    expect(more).toEqual([])
    if (!draft) throw new Error('no better plan was found')
    const plan = await loadPlan(client, distributorId, draft.id)
    expect(draft.saves).toBeCloseTo(before.plan.cost.total - plan.cost.total, 3)
    expect(draft.saves).toBeGreaterThan(0)
    const days = untouchedDays(before.plan, before.problem.today)
    expect(checkPlan({ ...before.problem, frozenDays: days }, plan).violations).toEqual([])
    const thawed = addDays(before.problem.today, days)
    const [{ deliveries: _now, ...is }, { deliveries: _then, ...was }] = [
      decidedBefore(plan, thawed),
      decidedBefore(before.plan, thawed),
    ]
    expect(is).toEqual(was)
    expect((await inForce()).id).not.toBe(draft.id)
  })

  test('is the only one at hand: a later search takes the place of an earlier one', async () => {
    await policy('OFFERED')
    await look()
    const [first] = await atHand()
    await look()
    const later = await atHand()
    expect(later).toHaveLength(1)
    expect(later[0]?.id).not.toBe(first?.id)
  })

  test('is not kept where it saves less than the share that is set', async () => {
    await policy('OFFERED', 1)
    await look()
    expect(await atHand()).toEqual([])
  })

  test('is not looked for where none is wanted', async () => {
    await policy('NEVER')
    const before = await client.job.count({ where: { kind: FIND_BETTER.name } })
    const { problem } = await stored()
    const [lot] = problem.stock.filter(({ quantity }) => quantity > 2)
    const counted = { lot: { id: encodeGlobalId('StockLot', lot?.id ?? '') }, quantity: (lot?.quantity ?? 0) - 1 }
    await recordFacts(actor, { facts: [{ lotCounted: counted }] }, 'the cellar')
    expect(await client.job.count({ where: { kind: FIND_BETTER.name } })).toBe(before)
    await look()
    expect(await atHand()).toEqual([])
  })

  test('is looked for once after several facts', async () => {
    await policy('OFFERED')
    const { problem } = await stored()
    const [lot] = problem.stock.filter(({ quantity }) => quantity > 3)
    const count = (quantity: number) => ({
      lotCounted: { lot: { id: encodeGlobalId('StockLot', lot?.id ?? '') }, quantity },
    })
    await recordFacts(actor, { facts: [count((lot?.quantity ?? 0) - 1)] }, 'the cellar')
    await recordFacts(actor, { facts: [count((lot?.quantity ?? 0) - 2)] }, 'the cellar')
    const waiting = await client.job.findMany({
      where: { kind: FIND_BETTER.name, state: 'WAITING', key: { not: 'daily' } },
    })
    expect(waiting).toHaveLength(1)
  })

  test('comes into force by itself where that is set, breaks no promise and leaves the days of work alone', async () => {
    await policy('ADOPTED')
    const before = await stored()
    const id = (await inForce()).id
    await look()
    const after = await expectValid()
    expect((await inForce()).id).not.toBe(id)
    expect(newlyBroken(after.problem, before.plan, after.plan)).toEqual([])
    const thawed = addDays(before.problem.today, untouchedDays(before.plan, before.problem.today))
    expect(decidedBefore(after.plan, thawed)).toEqual(decidedBefore(before.plan, thawed))
    expect(after.plan.cost.total).toBeLessThan(before.plan.cost.total)
    const entry = await client.changeLogEntry.findFirst({ where: { distributorId, kind: 'PLAN_ADOPTED' } })
    expect(entry).not.toBeNull()
  })

  test('leaves the days of work alone only where the same containers leave on them', async () => {
    const { problem, plan } = await stored()
    const frozenDays = untouchedDays(plan, problem.today)
    const thawed = addDays(problem.today, frozenDays)
    const better = (deliveries: Plan['deliveries']) =>
      leavesWorkAlone({ ...problem, frozenDays }, plan, { ...plan, deliveries })
    const [early, later] = [true, false].map((isEarly) =>
      plan.deliveries.findIndex(({ dispatchOn }) => dispatchOn < thawed === isEarly),
    )
    /** The plan's deliveries with one that takes its first containers from elsewhere. */
    const otherwise = (at = -1) => {
      const [of, ...rest] = plan.deliveries[at]?.from ?? []
      if (!of) throw new Error('the demo delivers on these days')
      const from = [{ stockLotId: 'another', quantity: of.quantity }, ...rest]
      return plan.deliveries.map((each, index) => (index === at ? { ...each, from } : each))
    }
    expect(better(plan.deliveries.toReversed())).toBe(true)
    expect(better(otherwise(later))).toBe(true)
    expect(better(otherwise(early))).toBe(false)
  })
})
