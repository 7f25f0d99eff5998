// Rows to a plan: the document that planning-rules.md describes. Lists are in order of day and id, deliveries and dumps
// in the order in which they were saved.
import { dayOf } from '../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../database/client.ts'
import { NotFound } from '../errors.ts'
import { costsShape, type Plan, planShape } from '../planner/documents/index.ts'
import { groupBy, sortedBy } from './group.ts'

const { unserved } = planShape.shape
const reasonsShape = unserved.element.shape.reasons

/** Reads a solved plan in nine queries. Throws `NotFound` where there is none, or it is not solved yet. */
export async function loadPlan(tx: TransactionClient, distributorId: string, planId: string): Promise<Plan> {
  const plan = await tx.plan.findUnique({ where: { distributorId_id: { distributorId, id: planId } } })
  if (!plan || plan.costTotal === null) throw new NotFound('Plan', planId)
  const where = { distributorId, planId }
  const brews = await tx.plannedBrew.findMany({ where })
  const transfers = await tx.plannedTransfer.findMany({ where })
  const fillRuns = await tx.fillRun.findMany({ where })
  const deliveries = await tx.delivery.findMany({ where, orderBy: { n: 'asc' } })
  const sources = await tx.deliverySource.findMany({ where, orderBy: [{ deliveryN: 'asc' }, { n: 'asc' }] })
  const dumps = await tx.dump.findMany({ where, orderBy: { n: 'asc' } })
  const verdicts = sortedBy(await tx.planVerdict.findMany({ where }), ({ orderLineId }) => orderLineId)
  const moved = await tx.planMove.findMany({ where })
  const sourcesOf = groupBy(sources, ({ deliveryN }) => String(deliveryN))

  return {
    brews: sortedBy(brews, ({ brewOn, id }) => dayOf(brewOn) + id).map((row) => ({
      id: row.id,
      beerId: row.beerId,
      vesselId: row.vesselId,
      brewOn: dayOf(row.brewOn),
      litres: row.litres,
      ...fixedOf(row),
    })),
    transfers: sortedBy(transfers, ({ on, id }) => dayOf(on) + id).map((row) => ({
      id: row.id,
      batchId: batchOf(row),
      toVesselId: row.toVesselId,
      on: dayOf(row.on),
      litres: row.litres,
      ...fixedOf(row),
    })),
    fillRuns: sortedBy(fillRuns, ({ on, id }) => dayOf(on) + id).map((row) => ({
      id: row.id,
      batchId: batchOf(row),
      fillerId: row.fillerId,
      on: dayOf(row.on),
      packId: row.packId,
      quantity: row.quantity,
      ...fixedOf(row),
    })),
    deliveries: deliveries.map((row) => ({
      orderLineId: row.orderLineId,
      routeId: row.routeId,
      dispatchOn: dayOf(row.dispatchOn),
      serveOn: dayOf(row.serveOn),
      from: sourcesOf(String(row.n)).map(({ fillRunId, stockLotId, quantity }) => ({
        ...(fillRunId === null ? {} : { fillRunId }),
        ...(stockLotId === null ? {} : { stockLotId }),
        quantity,
      })),
    })),
    dumped: dumps.map((row) => ({ batchId: batchOf(row), on: dayOf(row.on), litres: row.litres })),
    ...verdictsToLists(verdicts),
    moved: sortedBy(moved, ({ kind, decisionId }) => `${kind} ${decisionId}`).map(({ kind, decisionId, reasons }) => ({
      kind,
      id: decisionId,
      reasons: reasonsShape.parse(reasons),
    })),
    cost: { total: plan.costTotal, terms: costsShape.parse(plan.costTerms) },
  }
}

/** The plan in force as its rows say it; undefined where none is. What it moved it moved of the plan before it: it lists no moves. */
export async function loadPlanInForce(
  tx: TransactionClient,
  distributorId: string,
): Promise<{ id: string; plan: Plan } | undefined> {
  const row = await tx.plan.findFirst({ where: { distributorId, status: 'IN_FORCE' }, select: { id: true } })
  return row ? { id: row.id, plan: { ...(await loadPlan(tx, distributorId, row.id)), moved: [] } } : undefined
}

type PlanVerdict = Prisma.PlanVerdictGetPayload<object>

/** What the plan says of lines: not wholly served, late, promises broken. */
function verdictsToLists(verdicts: readonly PlanVerdict[]): Pick<Plan, 'unserved' | 'late' | 'brokenPromises'> {
  const verdictsOf = (kind: PlanVerdict['kind']) => verdicts.filter((verdict) => verdict.kind === kind)
  return {
    unserved: verdictsOf('UNSERVED').map(({ orderLineId, quantity, reasons }) => ({
      orderLineId,
      quantity: held(quantity),
      reasons: reasonsShape.parse(reasons),
    })),
    late: verdictsOf('LATE').map(({ orderLineId, reasons }) => ({ orderLineId, reasons: reasonsShape.parse(reasons) })),
    brokenPromises: verdictsOf('BROKEN_PROMISE').map(({ orderLineId, promisedOn, now, reasons }) => ({
      orderLineId,
      promisedOn: dayOf(held(promisedOn)),
      now: now === null ? null : dayOf(now),
      reasons: reasonsShape.parse(reasons),
    })),
  }
}

function fixedOf({ fixed }: { fixed: boolean }): { fixed?: true } {
  return fixed ? { fixed } : {}
}

/** The planner knows a planned brew and the batch that it becomes by one id. */
function batchOf({ batchId, brewId }: { batchId: string | null; brewId: string | null }): string {
  return held(batchId ?? brewId)
}

/** A value that a check constraint of the database requires to be there. */
function held<Value>(value: Value | null): Value {
  if (value === null) throw new Error('a row of a plan lacks what the database requires it to have')
  return value
}
