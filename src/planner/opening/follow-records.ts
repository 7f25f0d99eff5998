// A state, brought up to records that facts have changed: the compiled problem in place, and the beer that stands.
import type { Plan, Problem } from '../documents/problem.ts'
import type { Batch } from '../model/batch.ts'
import { compile } from '../model/compile.ts'
import { followSetup } from '../model/follow-setup.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { CONSTRAINTS } from '../rules/constraints.ts'
import { stand, standingBatch } from './standing.ts'

/** Takes beer that stands out of the state; nothing draws from it. */
export function takeAway(log: UndoLog, batch: Batch): void {
  const { state } = log
  const index = batch.standing
  log.also(
    () => stand(state, batch, -1),
    () => stand(state, batch, index),
  )
}

/**
 * Brings the problem of a state up to one of the same day and set-up, with the plan as its baseline, and the batches `come` into it.
 * Those that are there no more, or otherwise, were taken away. False where the state has to be made anew.
 */
export function followRecords(log: UndoLog, problem: Problem, plan: Plan, come: ReadonlySet<string>): boolean {
  const { state } = log
  const standing = state.batches.flat().filter((batch) => batch.standing >= 0)
  const ids = new Map(standing.map((batch) => [batch, state.identity(batch).id]))
  const fresh = compile({ ...problem, orderLines: [], baseline: { ...plan, deliveries: [] } })
  fresh.problem = { ...problem, baseline: plan }
  if (!followSetup(log, fresh, CONSTRAINTS)) return false
  const indexes = new Map(problem.batches.map(({ id }, index) => [id, index]))
  for (const [batch, id = ''] of ids) {
    const index = indexes.get(id)
    if (index === undefined || come.has(id)) return false
    if (index !== batch.standing) log.swap(batch, 'standing', index)
  }
  for (const [index, { id }] of problem.batches.entries()) {
    if (!come.has(id)) continue
    const batch = standingBatch(state, index)
    log.also(
      () => stand(state, batch, index),
      () => stand(state, batch, -1),
    )
  }
  return true
}
