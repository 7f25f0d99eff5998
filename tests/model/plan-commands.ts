// What the planner and the cellar can do, one command each: drafts, adoptions, and facts that overtake the plan.
import * as fc from 'fast-check'
import { expect } from 'vitest'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { adoptPlan } from '../../src/resolvers/plans/adopt-plan.ts'
import { draftPlan } from '../../src/resolvers/plans/draft-plan.ts'
import { changeBatch } from '../../src/resolvers/setup/batch.ts'
import { changeVessel } from '../../src/resolvers/setup/vessel.ts'
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
      model.adopted = true
      model.unplanned = false
    },
    ({ draft }) => draft !== undefined,
  ),
)

/** A fact of the cellar, which breaks what it breaks; the plan hears of it at the next write. */
export const fact = fc
  .tuple(fc.constantFrom('vessel out', 'batch late'), fc.integer({ min: 1, max: 8 }))
  .map(([what, days]) =>
    command(`${what} until day ${days}`, async (model, { actor }) => {
      const { client, distributorId } = actor
      if (what === 'vessel out') {
        const vessel = { id: encodeGlobalId('Vessel', 'FV2') }
        await changeVessel(actor, { vessel, outOfService: [{ from: model.today, to: model.day(days) }] })
      } else {
        await client.batch.findFirstOrThrow({ where: { distributorId, id: 'BATCH' } })
        await changeBatch(actor, {
          batch: { id: encodeGlobalId('Batch', 'BATCH') },
          readyAt: `${model.day(days)}T06:00:00Z`,
        })
      }
      model.unplanned = true
      model.disturbed = true
    }),
  )
