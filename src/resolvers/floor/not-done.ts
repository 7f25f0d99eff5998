// The fact that planned work was not done: its day is over, and it can not have happened as planned.
import type { PlannedWork } from '../../floor/planned-day.ts'
import type { Plan } from '../../planner/documents/index.ts'
import type { Decision, Meant } from './fact-kind.ts'

/** Its meaning: nothing moves, and the plan has the decision no more. `why` is a sentence. */
export function notDone(work: PlannedWork, plan: Plan, why: string): Meant {
  const decision = decisionOf(work)
  return {
    happened: { kind: 'NOT_DONE', data: { decision: decision.kind, decisionId: decision.id, why } },
    siteId: work.siteId,
    subjects: subjectsOf(work, plan),
    decision,
    carriedOut: work.kind === 'DISPATCH' ? [] : [{ kind: 'DROP', decision: work.kind, id: work.id }],
    warnings: [],
  }
}

function decisionOf(work: PlannedWork): Decision & { kind: 'BREW' | 'TRANSFER' | 'FILL_RUN' | 'DELIVERY' } {
  return work.kind === 'DISPATCH' ? { kind: 'DELIVERY', id: work.orderLineId } : { kind: work.kind, id: work.id }
}

function subjectsOf(work: PlannedWork, plan: Plan): Meant['subjects'] {
  switch (work.kind) {
    case 'DISPATCH':
      return [{ kind: 'ORDER_LINE', id: work.orderLineId }]
    case 'TRANSFER':
      return [{ kind: 'BATCH', id: work.batchId }]
    case 'FILL_RUN':
      return plan.fillRuns
        .filter(({ id }) => id === work.id)
        .map(({ batchId }) => ({ kind: 'BATCH' as const, id: batchId }))
    case 'BREW':
      return plan.brews.filter(({ id }) => id === work.id).map(({ vesselId }) => ({ kind: 'VESSEL', id: vesselId }))
  }
}
