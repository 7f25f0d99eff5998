// Subscribers of a plan or a comparison get its progress until it is done.
import { NotFound } from '../../errors.ts'
import type { Actor } from '../actor.ts'
import { decodeGlobalId } from '../global-id.ts'
import { planIdOf } from './plan-ref.ts'
import { readProgress, type ShownProgress } from './progress.ts'
import { readScenarios } from './scenarios.ts'
import { watch } from './watch.ts'

/** The progress of a plan, as it comes; ends when the plan is solved, failed or discarded. Throws `NotFound`. */
export async function planProgress(
  { client, distributorId }: Actor,
  globalId: string,
): Promise<AsyncGenerator<ShownProgress>> {
  const where = { distributorId_id: { distributorId, id: planIdOf(globalId) } }
  const look = async () => {
    const row = await client.plan.findUnique({ where, select: { status: true, progress: true } })
    return row && { sight: readProgress(row.progress), done: row.status !== 'SOLVING' }
  }
  if (!(await look())) throw new NotFound('Plan', globalId)
  return watch(look)
}

export interface ComparisonProgress {
  /** Scenarios that are planned, or could not be. */
  done: number
  /** All scenarios, the records as they are among them. */
  scenarios: number
  /** How far the search for one of them is. Null: none has begun. */
  progress: ShownProgress | null
}

/** The id of a comparison's row. Throws `NotFound`. */
export function comparisonIdOf(globalId: string): string {
  const decoded = decodeGlobalId(globalId)
  if (decoded?.kind !== 'Comparison') throw new NotFound('Comparison', globalId)
  return decoded.id
}

/** The progress of a comparison, as it comes; ends when it is ready or failed. Throws `NotFound`. */
export async function comparisonProgress(
  { client, distributorId }: Actor,
  globalId: string,
): Promise<AsyncGenerator<ComparisonProgress>> {
  const where = { distributorId_id: { distributorId, id: comparisonIdOf(globalId) } }
  const look = async () => {
    const row = await client.comparison.findUnique({ where, select: { status: true, scenarios: true, progress: true } })
    if (!row) return null
    const scenarios = readScenarios(row.scenarios)
    const done = scenarios.filter(({ outcome, failure }) => outcome !== null || failure !== null).length
    const sight = { done, scenarios: scenarios.length, progress: readProgress(row.progress) }
    return { sight, done: row.status !== 'SOLVING' }
  }
  if (!(await look())) throw new NotFound('Comparison', globalId)
  return watch(look)
}
