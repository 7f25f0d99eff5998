// Subscribers of a plan or a comparison get its progress until it is done.
import { NotFound } from '../../errors.ts'
import type { Actor } from '../actor.ts'
import { rowIdIn } from '../global-id.ts'
import { Heard } from '../listening/heard.ts'
import { joinPulse, type Sight, type Wanted } from '../listening/pulse.ts'
import { planIdOf } from './plan-ref.ts'
import { readProgress, type ShownProgress } from './progress.ts'
import { readScenarios } from './scenarios.ts'

/** The progress of a plan, as it comes; ends when the plan is solved, failed or discarded. Throws `NotFound`. */
export async function planProgress(
  { client, distributorId }: Actor,
  globalId: string,
): Promise<AsyncIterableIterator<ShownProgress>> {
  const id = planIdOf(globalId)
  const found = await client.plan.findUnique({
    where: { distributorId_id: { distributorId, id } },
    select: { id: true },
  })
  if (!found) throw new NotFound('Plan', globalId)
  return watched({ client, distributorId }, { planId: id }, ({ plans }) => {
    const row = plans?.[id]
    return row && { sight: readProgress(row.progress), done: row.status !== 'SOLVING' }
  })
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
  const id = rowIdIn('Comparison', globalId)
  if (id === undefined) throw new NotFound('Comparison', globalId)
  return id
}

/** The progress of a comparison, as it comes; ends when it is ready or failed. Throws `NotFound`. */
export async function comparisonProgress(
  { client, distributorId }: Actor,
  globalId: string,
): Promise<AsyncIterableIterator<ComparisonProgress>> {
  const id = comparisonIdOf(globalId)
  const where = { distributorId_id: { distributorId, id } }
  if (!(await client.comparison.findUnique({ where, select: { id: true } }))) throw new NotFound('Comparison', globalId)
  return watched({ client, distributorId }, { comparisonId: id }, ({ comparisons }) => {
    const row = comparisons?.[id]
    if (!row) return undefined
    const scenarios = readScenarios(row.scenarios)
    const done = scenarios.filter(({ outcome, failure }) => outcome !== null || failure !== null).length
    const sight = { done, scenarios: scenarios.length, progress: readProgress(row.progress ?? null) }
    return { sight, done: row.status !== 'SOLVING' }
  })
}

/**
 * What each look sees, whenever it has changed, until it is `done`; the last sight too. Ends as well where there is nothing to see
 * any more. One who listens slowly gets the newest alone.
 */
function watched<Seen>(
  { client, distributorId }: Pick<Actor, 'client' | 'distributorId'>,
  wanted: Wanted,
  look: (sight: Sight) => { sight: Seen | null; done: boolean } | undefined,
): AsyncIterableIterator<Seen> {
  let before = ''
  const heard = new Heard<Seen>(() => leave())
  const leave = joinPulse(client, distributorId, {
    wanted,
    hear: (sight) => {
      const seen = look(sight)
      const text = JSON.stringify(seen?.sight)
      if (seen && seen.sight !== null && text !== before) heard.latest(seen.sight)
      before = text
      if (!seen || seen.done) heard.end()
    },
    fail: (error) => heard.fail(error),
  })
  return heard
}
