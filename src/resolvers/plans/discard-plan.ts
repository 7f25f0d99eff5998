// An unwanted draft is discarded: it stays readable, and can never come into force.

import { z } from 'zod'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict, NotFound } from '../../errors.ts'
import { cancelJobs } from '../../jobs/enqueue.ts'
import { globalId } from '../global-id.ts'
import { parseInput } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { Written } from '../written.ts'
import { planIdOf } from './plan-ref.ts'
import { SOLVE_DRAFT } from './solve-draft.ts'
import { statusWords } from './status-words.ts'

const shape = z.strictObject({ id: globalId })

/**
 * Discards a draft; one that is being solved is stopped, on whatever server that is. One that was discarded already stays as it
 * is. Throws `InvalidInput`, `NotFound`, and `Conflict` where the plan is in force, was in force, or failed.
 */
export async function discardPlan(actor: PlanningActor, input: unknown): Promise<Written> {
  const { id: text } = parseInput(shape, input)
  const { distributorId, clock, jobs } = actor
  const id = planIdOf(text)
  const { revision } = await withDistributorLock(actor, distributorId, async ({ tx, log }) => {
    const row = await tx.plan.findUnique({ where: { distributorId_id: { distributorId, id } } })
    if (!row) throw new NotFound('Plan', text)
    const { status } = row
    if (status === 'DISCARDED') return
    if (status !== 'DRAFT' && status !== 'SOLVING')
      throw new Conflict('STATUS_FORBIDS', `The plan is ${statusWords(status)}; only drafts can be discarded.`)
    await cancelJobs({ tx, clock }, { distributorId, key: id }, SOLVE_DRAFT)
    await tx.plan.update({ where: { distributorId_id: { distributorId, id } }, data: { status: 'DISCARDED' } })
    log('PLAN_DISCARDED', { type: 'Plan', id }, { id, status }, { id, status: 'DISCARDED' })
  })
  jobs.checkLeases()
  return { id, revision }
}
