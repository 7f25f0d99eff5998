// Solves a draft whose row is there and has the status `SOLVING`: aside, in its turn, with notes of its progress.
import type { Clock } from '../../clock.ts'
import { dateOf } from '../../database/calendar-day.ts'
import type { PrismaClient } from '../../database/client.ts'
import { inTransaction } from '../../database/transaction.ts'
import type { Fault } from '../../planner/parse-problem.ts'
import type { Problem } from '../../planner/problem.ts'
import { saveSolved } from '../../records/save-plan.ts'
import { FaultyProblem } from '../../solver/make-plan-aside.ts'
import type { BoundedPlan } from '../../solver/plan-with-bound.ts'
import type { PlanProgress } from '../../solver/progress.ts'
import type { PlanEffort } from '../../solver/search-here.ts'
import { type Drafts, ServerStopped } from './drafts.ts'
import { ProgressNotes } from './progress-notes.ts'

export interface DraftTask {
  client: PrismaClient
  clock: Clock
  distributorId: string
  planId: string
  problem: Problem
  effort: PlanEffort
  /** Hears of what went wrong on our side. */
  onFault: (error: unknown, id: string) => void
}

/** Most faults of a problem that a failure tells. */
const MOST_FAULTS = 20

/** Solves it; its row becomes a `DRAFT`, or `FAILED` and says why. */
export async function solveDraft(task: DraftTask, drafts: Drafts): Promise<void> {
  const { client, distributorId, planId, problem, effort } = task
  const onFault = (error: unknown) => task.onFault(error, planId)
  const notes = new ProgressNotes<PlanProgress>(
    (progress) =>
      client.plan.updateMany({ where: { distributorId, id: planId, status: 'SOLVING' }, data: { progress } }),
    onFault,
  )
  try {
    const solved = await drafts.turn((signal) =>
      drafts.plan(problem, effort, { signal, onProgress: (progress) => notes.take(progress) }),
    )
    if (solved.boundFault !== undefined) onFault(solved.boundFault)
    await notes.done()
    await store(task, solved)
  } catch (error) {
    await notes.done()
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
  return [...faults.slice(0, MOST_FAULTS).map(({ path, message }) => `${path}: ${message}`), ...more].join('; ')
}

/** Writes a plan that the planner made, and that its checker has passed. */
async function store({ client, clock, distributorId, planId, problem }: DraftTask, solved: BoundedPlan) {
  await inTransaction(client, async (tx) => {
    await saveSolved(tx, distributorId, planId, solved)
    await tx.plan.update({
      where: { distributorId_id: { distributorId, id: planId } },
      data: { status: 'DRAFT', today: dateOf(problem.today), solvedAt: clock.now() },
    })
  })
}

async function fail({ client, clock, distributorId, planId }: DraftTask, message: string): Promise<void> {
  await client.plan.updateMany({
    where: { distributorId, id: planId, status: 'SOLVING' },
    data: { status: 'FAILED', failure: { message }, solvedAt: clock.now() },
  })
}
