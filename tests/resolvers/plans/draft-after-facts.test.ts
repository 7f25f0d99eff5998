// A draft that was begun before something happened loses, by quantity, what was carried out: when it comes into force nothing is
// brewed, filled or sent a second time, and the checker accepts it for the records.
import { describe, expect, test } from 'vitest'
import { addDays, type Plan } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { loadPlan } from '../../../src/records/load-plan.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { rollDays } from '../../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { readPlanDocuments } from '../../../src/resolvers/plans/plan-documents.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { openPlannedBrewery, openPlannedDemo } from '../../support/planned-demo.ts'

/** A planned brewery whose drafts are adopted after facts. */
function drafting({ actor, client }: Awaited<ReturnType<typeof openPlannedBrewery>>) {
  const { distributorId } = actor
  const drafted = async (input: object) => {
    const { id } = await draftPlan(actor, { effort: { steps: 20 }, ...input })
    await actor.jobs.settled()
    return { id, plan: await loadPlan(client, distributorId, id) }
  }
  const say = (...facts: object[]) => recordFacts(actor, { facts }, 'the cellar')
  /** Adopts it; the documents that the API shows pass the checker. */
  const adopted = async (id: string) => {
    await adoptPlan(actor, { id: encodeGlobalId('Plan', id) })
    const { problem, plan } = await readPlanDocuments(actor)
    if (!plan) throw new Error('no plan is in force')
    expect(checkPlan(problem, plan).violations).toEqual([])
    return { problem, plan }
  }
  return { drafted, say, adopted }
}

/** Whole containers of a pack that runs fill from a batch. */
function filling({ fillRuns }: Plan, of: { batchId: string; packId: string }): number {
  const runs = fillRuns.filter(({ batchId, packId }) => batchId === of.batchId && packId === of.packId)
  return runs.reduce((sum, { quantity }) => sum + quantity, 0)
}

describe('in the small brewery', () => {
  test('a fill that the draft had put off is not done again, and its casks serve whom the draft served', async () => {
    // The tank holds twice what is wanted.
    const { fillers, batches, ...rest } = oneVesselBrewery({ orderLines: [order('a', 5, 8, { promisedOn: day(8) })] })
    const brewery = { ...rest, batches: batches.map((batch) => ({ ...batch, litres: 400 })) }
    const later = Object.fromEntries(Array.from({ length: 12 }, (_, n) => [day(n + 2), 0]))
    const early = {
      ...brewery,
      fillers: fillers.map((filler) => ({ ...filler, minutesOn: { ...later, [day(0)]: 0 } })),
    }
    const it = await openPlannedBrewery({ ...brewery, fillers }, makePlan(early, { steps: 20 }).plan)
    const { drafted, say, adopted } = drafting(it)
    const { plan: before } = await it.stored()
    expect(before.fillRuns).toMatchObject([{ on: day(1), quantity: 5 }])
    const draft = await drafted({ without: [{ day: { day: day(1) } }] })
    expect(draft.plan.fillRuns).toMatchObject([{ quantity: 5 }])
    expect(draft.plan.fillRuns[0]?.on).not.toBe(day(1))
    it.clock.set(`${day(1)}T12:00:00Z`)
    await say({ filled: { fillRun: before.fillRuns[0]?.id, quantity: 5 } })
    const { problem, plan } = await adopted(draft.id)
    expect(problem.stock).toMatchObject([{ quantity: 5 }])
    expect(plan.fillRuns).toEqual([])
    expect(plan.deliveries).toMatchObject([
      { orderLineId: 'a', from: [{ stockLotId: problem.stock[0]?.id, quantity: 5 }] },
    ])
  })

  test('a brew that the draft had put off, into another vessel, is the batch that was brewed', async () => {
    const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 6, 12, { promisedOn: day(12) })] })
    problem.vessels.push(...problem.vessels.map((vessel) => ({ ...vessel, id: 'spare' })))
    const it = await openPlannedBrewery(problem)
    const { drafted, say, adopted } = drafting(it)
    const { plan: before } = await it.stored()
    const [brew] = before.brews
    if (!brew) throw new Error('a brew is planned')
    const vessel = { id: encodeGlobalId('Vessel', brew.vesselId) }
    const draft = await drafted({ without: [{ day: { day: brew.brewOn } }, { vessel }] })
    const [other] = draft.plan.brews
    expect(other?.brewOn).not.toBe(brew.brewOn)
    expect(other?.vesselId).not.toBe(brew.vesselId)
    it.clock.set(`${brew.brewOn}T17:00:00Z`)
    await say({ brewed: { brew: brew.id } })
    const { problem: after, plan } = await adopted(draft.id)
    expect(after.batches).toMatchObject([{ id: brew.id }])
    expect(plan.brews).toEqual([])
    expect(filling(plan, { batchId: brew.id, packId: 'cask' })).toBe(6)
  })
})

test('in the demo, a draft is adopted after days on which beer was brewed, filled whole and in part, and sent', async () => {
  const it = await openPlannedDemo()
  const { drafted, say, adopted } = drafting(it)
  // Of days that are frozen by then the draft may decide nothing otherwise than the plan that what is said has changed (F1).
  const draft = await drafted({ frozenDays: 0 })
  const [brewOn = ''] = draft.plan.brews.map((brew) => brew.brewOn).sort()
  // The day before passes without a word: its fills were whole.
  const whole = (await it.stored()).plan.fillRuns.find(({ on }) => on === addDays(brewOn, -1))
  it.clock.set(`${brewOn}T18:00:00Z`)
  await rollDays(it.actor)
  const { plan: inForce } = await it.stored()
  const brews = inForce.brews.filter((brew) => brew.brewOn === brewOn)
  const part = inForce.fillRuns.find(({ on, quantity }) => on === brewOn && quantity > 1)
  const sent = inForce.deliveries.find(
    ({ dispatchOn, from }) => dispatchOn === brewOn && from.every(({ stockLotId }) => stockLotId),
  )
  if (!whole || !part || !sent) throw new Error('the demo fills on a day, and on the next it brews, fills and sends')
  await say(
    ...brews.map(({ id }) => ({ brewed: { brew: id } })),
    { filled: { fillRun: part.id, quantity: part.quantity - 1 } },
    { dispatched: { orderLine: { id: encodeGlobalId('OrderLine', sent.orderLineId) } } },
  )
  const { problem, plan } = await adopted(draft.id)
  for (const brew of brews) {
    expect(plan.brews.map(({ id }) => id)).not.toContain(brew.id)
    expect(problem.batches.map(({ id }) => id)).toContain(brew.id)
  }
  // What was filled is filled no more, whatever the draft had decided of it.
  for (const run of [whole, part])
    expect(filling(plan, run)).toBeLessThanOrEqual(Math.max(0, filling(draft.plan, run) - (run.quantity - 1)))
  const left = await it.client.factSubject.findMany({ where: { kind: 'ORDER_LINE', fact: { kind: 'DISPATCHED' } } })
  const ordered = new Map(problem.orderLines.map(({ id, quantity }) => [id, quantity]))
  for (const { orderLineId, from } of plan.deliveries)
    if (left.some(({ subjectId }) => subjectId === orderLineId))
      expect(from.reduce((sum, { quantity }) => sum + quantity, 0)).toBeLessThanOrEqual(ordered.get(orderLineId) ?? 0)
  expect(plan.deliveries.map(({ orderLineId }) => orderLineId)).not.toContain(sent.orderLineId)
})
