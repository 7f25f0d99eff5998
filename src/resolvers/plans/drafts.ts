// Drafts that are being solved: each on a thread of its own, no more at once than the machine has processors to spare,
// so that requests are answered meanwhile. How far a draft is stands in its row, for any server to read.
import { availableParallelism } from 'node:os'
import type { Clock } from '../../clock.ts'
import { dateOf } from '../../database/calendar-day.ts'
import type { PrismaClient } from '../../database/client.ts'
import { inTransaction } from '../../database/transaction.ts'
import { parseProblem } from '../../planner/index.ts'
import type { Problem } from '../../planner/problem.ts'
import { savePlan } from '../../records/save-plan.ts'
import { type AsideOutcome, type AsideProgress, makePlanAside, type PlanEffort } from '../../solver/make-plan-aside.ts'

/** A draft whose row is there and has the status `SOLVING`. */
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

/** Milliseconds between two notes of a draft's progress. */
const BETWEEN_NOTES = 500

export class Drafts {
  readonly #most: number
  readonly #stopped = new AbortController()
  readonly #running = new Set<Promise<void>>()
  readonly #waiting: DraftTask[] = []

  /** `most` drafts are solved at once; further ones wait their turn. */
  constructor(most = Math.max(1, availableParallelism() - 1)) {
    this.#most = most
  }

  /** Solves a draft, now or when it is its turn. Answers at once. */
  start(task: DraftTask): void {
    this.#waiting.push(task)
    this.#next()
  }

  /** Waits until no draft is being solved. */
  async settled(): Promise<void> {
    while (this.#running.size > 0) await Promise.all(this.#running)
  }

  /** Gives up what is being solved and what waits; their rows say so. */
  async stop(): Promise<void> {
    this.#stopped.abort(new Error('The server was stopped.'))
    await this.settled()
  }

  #next(): void {
    if (this.#running.size >= this.#most) return
    const task = this.#waiting.shift()
    if (!task) return
    const run = solve(task, this.#stopped.signal)
      .catch((error: unknown) => task.onFault(error, task.planId))
      .finally(() => {
        this.#running.delete(run)
        this.#next()
      })
    this.#running.add(run)
  }
}

async function solve(task: DraftTask, signal: AbortSignal): Promise<void> {
  const parsed = parseProblem(task.problem)
  if (!parsed.ok) {
    const faults = parsed.faults.slice(0, 20).map(({ path, message }) => `${path}: ${message}`)
    return fail(task, `The records are no problem that can be planned: ${faults.join('; ')}`)
  }
  const notes = new ProgressNotes(task)
  try {
    const outcome = await makePlanAside(task.problem, task.effort, { signal, onProgress: (each) => notes.take(each) })
    await notes.done()
    await store(task, outcome)
  } catch (error) {
    await notes.done()
    if (signal.aborted) return fail(task, 'The server was stopped before the plan was made. Draft it again.')
    await fail(task, 'Something went wrong on our side. Draft it again; if it stays, report the id of the plan.')
    task.onFault(error, task.planId)
  }
}

/** Writes a plan that the planner made, and that its checker has passed. */
async function store({ client, clock, distributorId, planId, problem }: DraftTask, outcome: AsideOutcome) {
  const { plan, bound, statistics } = outcome
  const { total } = plan.cost
  await inTransaction(client, async (tx) => {
    await savePlan(tx, distributorId, planId, plan)
    await tx.plan.update({
      where: { distributorId_id: { distributorId, id: planId } },
      data: {
        status: 'DRAFT',
        today: dateOf(problem.today),
        steps: statistics.steps,
        statistics,
        progress: { steps: statistics.steps, bestCost: total, seconds: statistics.seconds },
        lowerBound: bound.value,
        boundKind: bound.kind,
        gap: total > 0 ? Math.min(1, Math.max(0, (total - bound.value) / total)) : 0,
        solvedAt: clock.now(),
      },
    })
  })
}

async function fail({ client, clock, distributorId, planId }: DraftTask, message: string): Promise<void> {
  await client.plan.updateMany({
    where: { distributorId, id: planId, status: 'SOLVING' },
    data: { status: 'FAILED', failure: { message }, solvedAt: clock.now() },
  })
}

/** Writes progress into the draft's row, one note at a time and not too often. */
class ProgressNotes {
  readonly #task: DraftTask
  #latest: AsideProgress | undefined
  #writing: Promise<void> | undefined
  #writtenAt = Number.NEGATIVE_INFINITY

  constructor(task: DraftTask) {
    this.#task = task
  }

  take(progress: AsideProgress): void {
    this.#latest = progress
    if (this.#writing || progress.seconds * 1000 - this.#writtenAt < BETWEEN_NOTES) return
    this.#writtenAt = progress.seconds * 1000
    this.#writing = this.#write().finally(() => {
      this.#writing = undefined
    })
  }

  /** Waits for the note that is being written. */
  async done(): Promise<void> {
    await this.#writing
  }

  async #write(): Promise<void> {
    const { client, distributorId, planId, onFault } = this.#task
    const { steps = 0, bestCost = 0, seconds = 0 } = this.#latest ?? {}
    const where = { distributorId, id: planId, status: 'SOLVING' } as const
    // A note that is lost costs nothing; the draft goes on.
    await client.plan
      .updateMany({ where, data: { progress: { steps, bestCost, seconds } } })
      .catch((error: unknown) => onFault(error, planId))
  }
}
