// How cheap a plan of the same problem can be at best. A draft is stored with its bound; a plan that an order was placed
// into has none until it is asked for here.
import { dayOf } from '../../database/calendar-day.ts'
import type { Prisma } from '../../database/client.ts'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { type BoundKind, gapOf } from '../../planner/bound/bound.ts'
import { parseProblem } from '../../planner/index.ts'
import { costsShape } from '../../planner/problem.ts'
import { loadProblem } from '../../records/load-problem.ts'
import { boundAside } from '../../solver/bound-aside.ts'
import { boundKindShape } from '../../solver/progress.ts'
import type { Actor } from '../actor.ts'

export interface PlanBound {
  lowerBound: number
  boundKind: BoundKind
  gap: number
}

/**
 * The bound of a plan; null where it is not solved, or where the records have changed so that it is no plan of theirs any
 * more. One that is not stored is found by the instant bound, on a thread of its own, and stored if nothing changed meanwhile.
 */
export async function planBound(actor: Actor, planId: string): Promise<PlanBound | null> {
  const { client, clock, distributorId } = actor
  const where = { distributorId_id: { distributorId, id: planId } }
  const read = await client.$transaction(
    async (tx) => {
      const row = await tx.plan.findUnique({ where })
      if (!row || row.costTotal === null) return null
      if (row.lowerBound !== null) return { row }
      const loaded = await loadProblem(tx, distributorId, {
        today: dayOf(row.today),
        at: clock.now(),
        horizonDays: row.horizonDays,
        frozenDays: row.frozenDays,
        costs: costsShape.parse(row.costs),
      })
      return { row, loaded }
    },
    { isolationLevel: 'RepeatableRead' },
  )
  if (!read) return null
  const { row, loaded } = read
  if (!loaded) return stored(row)
  const costTotal = row.costTotal ?? 0
  const { problem, revision } = loaded
  if (!parseProblem(problem).ok) return null
  const { value, kind } = await boundAside(problem, 0)
  if (value > costTotal) return null
  const found: PlanBound = { lowerBound: value, boundKind: kind, gap: gapOf(costTotal, value) }
  await withDistributorLock(actor, distributorId, async (locked) => {
    if (locked.revision !== revision) return
    const data: Prisma.PlanUpdateInput = { ...found }
    await locked.tx.plan.update({ where, data })
  })
  return found
}

function stored(row: { lowerBound: number | null; boundKind: string | null; gap: number | null }): PlanBound | null {
  const { lowerBound, gap } = row
  return lowerBound === null || gap === null
    ? null
    : { lowerBound, gap, boundKind: boundKindShape.parse(row.boundKind) }
}
