// What the planner can do, one command each: drafts, adoptions and recalls.
import * as fc from 'fast-check'
import { expect } from 'vitest'
import { draftRecall } from '../../src/resolvers/floor/draft-recall.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { adoptPlan } from '../../src/resolvers/plans/adopt-plan.ts'
import { discardPlan } from '../../src/resolvers/plans/discard-plan.ts'
import { draftPlan } from '../../src/resolvers/plans/draft-plan.ts'
import { fixInPlan, unfixInPlan } from '../../src/resolvers/plans/fix-in-plan.ts'
import { decisionGlobalId } from '../../src/resolvers/plans/plan-ref.ts'
import { command } from './command.ts'

export const draft = fc.integer({ min: 0, max: 30 }).map((steps) =>
  command(`draft with ${steps} steps`, async (model, { actor }) => {
    const { id } = await draftPlan(actor, { effort: { steps } })
    await actor.jobs.settled()
    model.draft = id
  }),
)

export const adopt = fc.constant(
  command(
    'adopt the draft',
    async (model, brewery) => {
      const id = model.draft
      if (id === undefined) return
      model.draft = undefined
      const tried = await brewery.try(() => adoptPlan(brewery.actor, { id: encodeGlobalId('Plan', id) }))
      if (!tried.ok) return expect(tried.code).toMatch(/^(REVISION_MOVED|PROMISES_BROKEN)$/)
    },
    ({ draft }) => draft !== undefined,
  ),
)

export const discard = fc.constant(
  command(
    'discard the draft',
    async (model, { actor }) => {
      const id = model.draft
      model.draft = undefined
      if (id !== undefined) await discardPlan(actor, { id: encodeGlobalId('Plan', id) })
    },
    ({ draft }) => draft !== undefined,
  ),
)

/** A lot is recalled, or a batch with every lot of it, in one act with a draft. */
export const recall = fc.tuple(fc.nat({ max: 50 }), fc.boolean(), fc.boolean()).map(([number, isBatch, again]) =>
  command(`recall ${isBatch ? 'batch' : 'lot'} ${number}${again ? ', again' : ''}`, async (model, brewery) => {
    const { actor } = brewery
    const { batchIds, lotIds } = await brewery.things()
    const ids = isBatch ? batchIds : lotIds
    const id = ids[number % Math.max(1, ids.length)]
    if (id === undefined) return
    const of = isBatch
      ? { batch: { id: encodeGlobalId('Batch', id) } }
      : { lot: { id: encodeGlobalId('StockLot', id) } }
    const { planId } = await draftRecall(actor, { of, again, effort: { steps: 5 } }, 'the office')
    await actor.jobs.settled()
    model.draft = planId ?? model.draft
    model.disturbed = true
  }),
)

/** A decision of the plan in force is fixed, or let go. */
export const fix = fc
  .tuple(fc.nat({ max: 50 }), fc.constantFrom('brews', 'fillRuns'), fc.boolean())
  .map(([number, list, lets]) =>
    command(`${lets ? 'let go' : 'fix'} ${list} ${number}`, async (_model, brewery) => {
      const { plan } = await brewery.seenDocuments()
      const { client, distributorId } = brewery.actor
      const { id: planId } = await client.plan.findFirstOrThrow({ where: { distributorId, status: 'IN_FORCE' } })
      const decision = plan[list][number % Math.max(1, plan[list].length)]
      if (!decision) return
      const key = { planId, id: decision.id }
      const input =
        list === 'brews'
          ? { brew: decisionGlobalId('PlannedBrew', key) }
          : { fillRun: decisionGlobalId('FillRun', key) }
      await (lets ? unfixInPlan : fixInPlan)(brewery.actor, input)
    }),
  )
