// What a change of a plan that is kept open tells of it: the parts of the batches concerned and of the lines that left and came.
import { byBatch, byId, byLine, listDelta, type PlanDelta } from '../documents/plan-delta.ts'
import type { Plan } from '../documents/problem.ts'
import type { BatchPart, Verdicts } from '../opening/export.ts'
import type { PartChange } from './rebase.ts'

/** Lines that left and came, with what the plan said and says of them. */
export interface LineChange {
  left: readonly string[]
  deliveries: Plan['deliveries']
  before: readonly Verdicts[]
  after: readonly Verdicts[]
}

/** The difference between the plan before and after: lists are given by what is gone and what is there now. */
export function proposalDelta(
  changes: readonly PartChange[],
  { left, deliveries, before, after }: LineChange,
  cost: Plan['cost'],
): PlanDelta {
  const there = new Set(deliveries.map(({ orderLineId }) => orderLineId))
  function ofParts<T>(get: (part: BatchPart) => readonly T[] | T | undefined, id: (each: T) => string) {
    return listDelta(
      changes.flatMap((each) => (each.before && get(each.before)) ?? []),
      changes.flatMap((each) => (each.after && get(each.after)) ?? []),
      id,
    )
  }
  function ofLines<T extends { orderLineId: string }>(get: (each: Verdicts) => T | undefined) {
    return listDelta(
      before.flatMap((each) => get(each) ?? []),
      after.flatMap((each) => get(each) ?? []),
      byLine,
    )
  }
  return {
    brews: ofParts(({ brew }) => brew, byId),
    transfers: ofParts(({ transfer }) => transfer, byId),
    fillRuns: ofParts(({ fillRuns }) => fillRuns, byId),
    deliveries: { gone: left.filter((id) => !there.has(id)), put: deliveries },
    dumped: ofParts(({ dumped }) => dumped, byBatch),
    unserved: ofLines(({ unserved }) => unserved),
    late: ofLines(({ late }) => late),
    brokenPromises: ofLines(({ brokenPromise }) => brokenPromise),
    cost,
  }
}
