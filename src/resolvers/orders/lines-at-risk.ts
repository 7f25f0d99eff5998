// Which lines the plan in force, as far as it still holds, serves late or not wholly: what a list of orders at risk is made of.
import { z } from 'zod'
import type { Actor } from '../actor.ts'
import { planInForceId } from './lines-in-force.ts'
import { readMovedOn } from './risks.ts'

const rowsShape = z.array(z.object({ orderId: z.string(), packId: z.string(), serveOn: z.date() }))

/** A line at risk, with what lists of orders filter by. */
export type LineAtRisk = z.infer<typeof rowsShape>[number]

/**
 * All lines at risk. Found from the plan's few verdicts, which its key begins with, and not by looking at each line of each
 * order for a verdict: the database may take seconds for that where it knows too little of its tables.
 */
export async function linesAtRisk(actor: Actor): Promise<LineAtRisk[]> {
  const { client, distributorId } = actor
  const planId = await planInForceId(actor)
  if (planId === undefined) return []
  const moved = [...(await readMovedOn(actor, planId))]
  const otherwise = moved.map(([id]) => id)
  const risky = moved.flatMap(([id, { atRisk }]) => (atRisk ? [id] : []))
  return rowsShape.parse(
    await client.$queryRaw`
      WITH "risky" AS (
        SELECT "orderLineId" AS "id" FROM "PlanVerdict"
        WHERE "distributorId" = ${distributorId} AND "planId" = ${planId}
          AND NOT "orderLineId" = ANY (${otherwise}::text[])
        UNION SELECT unnest(${risky}::text[])
      )
      SELECT l."orderId", l."packId", l."serveOn" FROM "OrderLine" l JOIN "risky" USING ("id")
      WHERE l."distributorId" = ${distributorId}`,
  )
}
