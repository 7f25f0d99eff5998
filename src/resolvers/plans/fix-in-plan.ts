// A decision of the plan in force is fixed, so that replanning leaves it as it is (F1), or let go again.

import { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict, NotFound } from '../../errors.ts'
import { globalId } from '../global-id.ts'
import { parseInput } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { Written } from '../written.ts'
import { type DecisionKey, type DecisionModel, decisionId, decisionRef } from './plan-ref.ts'

const nothing = z.undefined().optional()
const shape = z.union([
  z.strictObject({ brew: globalId, transfer: nothing, fillRun: nothing }),
  z.strictObject({ transfer: globalId, brew: nothing, fillRun: nothing }),
  z.strictObject({ fillRun: globalId, brew: nothing, transfer: nothing }),
])

/** Fixes a brew, a transfer or a fill run of the plan in force. Answers the plan. Throws `InvalidInput`, `NotFound`, `Conflict`. */
export function fixInPlan(actor: PlanningActor, input: unknown): Promise<Written> {
  return setFixed(actor, input, true)
}

/** Lets it go again. */
export function unfixInPlan(actor: PlanningActor, input: unknown): Promise<Written> {
  return setFixed(actor, input, false)
}

async function setFixed(actor: PlanningActor, input: unknown, fixed: boolean): Promise<Written> {
  const given = parseInput(shape, input)
  const [kind, text]: [DecisionModel, string] =
    given.brew !== undefined
      ? ['PlannedBrew', given.brew]
      : given.transfer !== undefined
        ? ['PlannedTransfer', given.transfer]
        : ['FillRun', given.fillRun]
  const key = decisionRef(kind, text)
  const { distributorId } = actor
  const { revision } = await withDistributorLock(actor, distributorId, async ({ tx, log }) => {
    const plan = await tx.plan.findUnique({ where: { distributorId_id: { distributorId, id: key.planId } } })
    const before = plan && (await find(tx, distributorId, kind, key))
    if (!before) throw new NotFound(kind, text)
    if (plan.status !== 'IN_FORCE')
      throw new Conflict('STATUS_FORBIDS', 'Only decisions of the plan in force can be fixed or let go.')
    if (before.fixed === fixed) return
    const data = { fixed }
    const where = { distributorId_planId_id: { distributorId, ...key } }
    if (kind === 'PlannedBrew') await tx.plannedBrew.update({ where, data })
    else if (kind === 'PlannedTransfer') await tx.plannedTransfer.update({ where, data })
    else await tx.fillRun.update({ where, data })
    log(fixed ? 'PLAN_FIXED' : 'PLAN_UNFIXED', { type: kind, id: decisionId(key) }, before, { ...before, fixed })
  })
  return { id: key.planId, revision }
}

function find(tx: TransactionClient, distributorId: string, kind: DecisionModel, key: DecisionKey) {
  const query = {
    where: { distributorId_planId_id: { distributorId, ...key } },
    omit: { distributorId: true, vesselKind: true },
  } as const
  if (kind === 'PlannedBrew') return tx.plannedBrew.findUnique(query)
  if (kind === 'PlannedTransfer') return tx.plannedTransfer.findUnique(query)
  return tx.fillRun.findUnique({ where: query.where, omit: { distributorId: true } })
}
