// The ids of a solution of the exact model: those of the plan in force for what stays of it, new ones for all else.
import type { Plan, Problem } from '../documents/problem.ts'
import type { Fill } from './filling.ts'
import type { Keeping } from './keeping.ts'
import type { Move, Span } from './stays.ts'

/** An id, and whether the decision is fixed as it was (F1). */
interface Name {
  id: string
  fixed?: true
}

type Value = (column: number) => number

export class Names {
  private readonly taken: Set<string>

  constructor(
    problem: Problem,
    private readonly keeping: Keeping,
    private readonly value: Value,
  ) {
    this.taken = new Set([...problem.batches.map(({ id }) => id), ...idsOf(problem.baseline)])
  }

  /** Of the brew with which a stay begins; its id is that of the batch. */
  brew(span: Span): Name {
    const id = this.keeping.batches.find(({ stays }) => this.chosen(stays, span))?.id ?? this.fresh('brew')
    const kept = this.keeping.brews.find(({ decision, ways }) => decision.id === id && this.chosen(ways, span))
    return nameOf(id, kept?.decision)
  }

  transfer(move: Move): Name {
    const kept = this.keeping.transfers.find(({ ways }) => this.chosen(ways, move))
    return nameOf(kept?.decision.id ?? this.fresh('transfer'), kept?.decision)
  }

  run(fill: Fill): Name {
    const kept = this.keeping.runs.find(({ ways }) => this.chosen(ways, fill))
    return nameOf(kept?.decision.id ?? this.fresh('run'), kept?.decision)
  }

  private chosen<Thing>(ways: readonly { thing: Thing; column: number }[], wanted: Thing): boolean {
    return ways.some(({ thing, column }) => thing === wanted && this.value(column) > 0.5)
  }

  private fresh(kind: string): string {
    let number = 1
    while (this.taken.has(`${kind}-${number}`)) number++
    const id = `${kind}-${number}`
    this.taken.add(id)
    return id
  }
}

function nameOf(id: string, decision: { fixed?: boolean | undefined } | undefined): Name {
  return decision?.fixed ? { id, fixed: true } : { id }
}

/** Every id that a plan gives or names: one that is new must not be taken for its. */
function idsOf(plan: Plan | undefined): string[] {
  if (!plan) return []
  const { brews, transfers, fillRuns } = plan
  return [
    ...[...brews, ...transfers, ...fillRuns].map(({ id }) => id),
    ...[...transfers, ...fillRuns].map(({ batchId }) => batchId),
  ]
}
