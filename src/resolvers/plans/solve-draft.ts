// Solves a draft whose row is there and has the status `SOLVING`: on a thread of its own, in its turn, with notes of its progress.

import type { Clock } from '../../clock.ts'
import { dateOf } from '../../database/calendar-day.ts'
import type { PrismaClient } from '../../database/client.ts'
import { inTransaction } from '../../database/transaction.ts'
import type { Fault, Problem } from '../../planner/documents/index.ts'
import { pathInWords } from '../../planner/documents/index.ts'
import { saveSolved } from '../../records/save-plan.ts'
import { FaultyProblem } from '../../solver/make-plan-on-thread.ts'
import type { BoundedPlan } from '../../solver/plan-with-bound.ts'
import type { PlanProgress } from '../../solver/progress.ts'
import type { PlanEffort } from '../../solver/search-here.ts'
import { DraftDiscarded, type Drafts, ServerStopped } from './drafts.ts'
import { secondsOf } from './effort.ts'
import { ProgressNotes } from './progress-notes.ts'

export interface DraftTask {
  client: PrismaClient
  clock: Clock
  distributorId: string
  planId: string
  problem: Problem
  effort: PlanEffort
  /** Gets faults of ours. */
  onFault: (error: unknown, id: string) => void
}

/** Most faults of a problem that a failure lists. */
const MOST_FAULTS = 20

/** Solves it; its row becomes a `DRAFT`, or `FAILED` and says why. */
export async function solveDraft(task: DraftTask, drafts: Drafts): Promise<void> {
  const { client, planId, problem, effort } = task
  const onFault = (error: unknown) => task.onFault(error, planId)
  const notes = new ProgressNotes<PlanProgress>(async (progress) => {
    const { count } = await client.plan.updateMany({ where: solving(task), data: { progress } })
    // Another server may have discarded it.
    if (count === 0) drafts.discard(planId)
  }, onFault)
  try {
    const solved = await drafts.turn({ seconds: secondsOf(effort), planId }, (signal) =>
      drafts.plan(problem, effort, { signal, onProgress: (progress) => notes.take(progress) }),
    )
    if (solved.boundFault !== undefined) onFault(solved.boundFault)
    await notes.done()
    await store(task, solved)
  } catch (error) {
    await notes.done()
    if (error instanceof DraftDiscarded) return
    await fail(task, failureOf(error, 'Draft it again'))
    if (isOurs(error)) onFault(error)
  }
}

/** What is said where planning failed; `remedy` is what to do, such as "Draft it again". */
export function failureOf(error: unknown, remedy: string): string {
  if (error instanceof ServerStopped) return `The server was stopped before it was done. ${remedy}.`
  if (error instanceof FaultyProblem)
    return `The records are no problem that can be planned: ${faultWords(error.faults)}`
  return `Something went wrong on our side. ${remedy}; if it stays, report the id.`
}

/** Whether what was thrown is a fault of ours. */
export function isOurs(error: unknown): boolean {
  return !(error instanceof ServerStopped || error instanceof FaultyProblem)
}

/** Faults of a problem in words, so many as are read. */
export function faultWords(faults: readonly Fault[]): string {
  const more = faults.length > MOST_FAULTS ? [`and ${faults.length - MOST_FAULTS} more`] : []
  return [...faults.slice(0, MOST_FAULTS).map(({ path, message }) => `${pathInWords(path)}: ${message}`), ...more].join(
    '; ',
  )
}

/** Writes a plan that the planner made, and that its checker has passed. Throws `DraftDiscarded`. */
async function store(task: DraftTask, solved: BoundedPlan): Promise<void> {
  const { client, clock, distributorId, planId, problem } = task
  await inTransaction(client, async (tx) => {
    await saveSolved(tx, distributorId, planId, solved)
    const data = { status: 'DRAFT', today: dateOf(problem.today), solvedAt: clock.now() } as const
    const { count } = await tx.plan.updateMany({ where: solving(task), data })
    if (count === 0) throw new DraftDiscarded()
  })
}

/** The row of the draft, unless it was discarded meanwhile. */
function solving({ distributorId, planId }: DraftTask) {
  return { distributorId, id: planId, status: 'SOLVING' } as const
}

async function fail(task: DraftTask, message: string): Promise<void> {
  const { client, clock } = task
  await client.plan.updateMany({
    where: solving(task),
    data: { status: 'FAILED', failure: { message }, solvedAt: clock.now() },
  })
}
