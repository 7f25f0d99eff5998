// The plan in force, compiled and kept in memory, one for each distributor: asking for a promise costs no more than the
// query that says whether the snapshot is current.
import type { PrismaClient, TransactionClient } from '../database/client.ts'
import { type HeldPlan, holdPlan } from '../planner/hold-plan.ts'
import type { LocalDate, Plan, Problem } from '../planner/problem.ts'
import { loadProblem } from './load-problem.ts'

/** The records of a distributor at a revision, on a day. */
export interface Snapshot {
  distributorId: string
  revision: number
  /** The distributor's today. */
  today: LocalDate
  /** Its baseline is the plan in force. */
  problem: Problem
  /** Absent: no plan is in force. */
  inForce?: InForce
}

export interface InForce {
  planId: string
  /** As the rows say it. */
  plan: Plan
  /** The plan with what no longer holds placed anew, open for trial placements; compiled when it is first asked for. */
  held: () => HeldPlan
}

/** The plan in force of a problem, to be compiled when it is first asked for. */
export function inForceOf(problem: Problem, planId: string, plan: Plan): InForce {
  let held: HeldPlan | undefined
  return {
    planId,
    plan,
    held: () => {
      held ??= holdPlan(problem, plan)
      return held
    },
  }
}

/** Most distributors whose snapshots are kept; the one that was used longest ago goes first. */
const MOST_KEPT = 20

export class Snapshots {
  readonly #kept = new Map<string, Snapshot>()
  readonly #loading = new Map<string, Promise<Snapshot>>()

  /** The snapshot of a revision that was just read, without a lock; a newer one where the records have moved on. */
  async current(client: PrismaClient, distributorId: string, revision: number, today: LocalDate): Promise<Snapshot> {
    const kept = this.#find(distributorId, revision, today)
    if (kept) return kept
    const key = JSON.stringify([distributorId, revision, today])
    const loading =
      this.#loading.get(key) ??
      client
        .$transaction((tx) => load(tx, distributorId, today), { isolationLevel: 'RepeatableRead' })
        .then((snapshot) => this.keep(snapshot))
        .finally(() => this.#loading.delete(key))
    this.#loading.set(key, loading)
    return loading
  }

  /** The snapshot for a writer who holds the distributor's lock at `revision`. */
  async locked(tx: TransactionClient, distributorId: string, revision: number, today: LocalDate): Promise<Snapshot> {
    return this.#find(distributorId, revision, today) ?? (await load(tx, distributorId, today))
  }

  /** Keeps a snapshot of committed records, unless a newer one is there. */
  keep(snapshot: Snapshot): Snapshot {
    const { distributorId } = snapshot
    const kept = this.#kept.get(distributorId)
    if (kept && kept.revision > snapshot.revision) return snapshot
    this.#kept.delete(distributorId)
    this.#kept.set(distributorId, snapshot)
    const [oldest] = this.#kept.keys()
    if (this.#kept.size > MOST_KEPT && oldest !== undefined) this.#kept.delete(oldest)
    return snapshot
  }

  #find(distributorId: string, revision: number, today: LocalDate): Snapshot | undefined {
    const kept = this.#kept.get(distributorId)
    return kept?.revision === revision && kept.today === today ? kept : undefined
  }
}

async function load(tx: TransactionClient, distributorId: string, today: LocalDate): Promise<Snapshot> {
  const { problem, revision, baselineId } = await loadProblem(tx, distributorId, { today })
  const { baseline } = problem
  return {
    distributorId,
    revision,
    today,
    problem,
    ...(baseline && baselineId ? { inForce: inForceOf(problem, baselineId, baseline) } : {}),
  }
}
