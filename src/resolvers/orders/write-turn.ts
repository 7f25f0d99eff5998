// One turn under the distributor's lock: each member of it finds the records as the one before it leaves them, and has a
// revision of its own; all that they leave to the end is written at once, and the snapshot in memory follows the commit.
import { todayIn } from '../../clock.ts'
import { Prisma } from '../../database/client.ts'
import { type Locked, type Log, withDistributorLock } from '../../database/distributor-lock.ts'
import { Refusal } from '../../errors.ts'
import type { PlanDelta } from '../../planner/documents/index.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { sweepLapsed } from '../reservations/sweep.ts'
import { type Cause, noteRisks } from './note-risks.ts'
import type { LinesWritten, OrderWriting } from './order-writing.ts'
import { type Changed, snapshotAfter } from './replan.ts'
import { OrderReferences } from './wanted-lines.ts'
import { planWrites } from './write-plan.ts'

/** One who writes. */
export interface Member {
  dryRun: boolean
  work: (writing: OrderWriting) => Promise<LinesWritten>
}

/** What came of it: the revision after it, or why nothing did. */
export type Outcome = { revision: number } | { error: unknown }

/**
 * Runs the work of members one after the other in one transaction, after sweeping out reservations that have run out. Who
 * is refused, or runs dry, leaves nothing. Rejects, with nothing written at all, where anything else goes wrong. Of several
 * members each may write by `atEnd` only. `members` is asked when the lock is there, and again after a conflict.
 */
export async function writeTurn(actor: PlanningActor, members: () => readonly Member[]): Promise<Outcome[]> {
  const { distributorId, snapshots } = actor
  let outcomes: Outcome[] = []
  try {
    const { result } = await withDistributorLock(actor, distributorId, async (locked) => {
      const turn = await Turn.begin(actor, locked)
      outcomes = []
      for (const member of members()) outcomes.push(await turn.take(member))
      if (!turn.written) throw new RolledBack()
      return turn.end()
    })
    snapshots.keep(result)
  } catch (error) {
    if (!(error instanceof RolledBack)) throw error
  }
  return outcomes
}

/** Thrown to have the database take back what was written for nothing, such as by a dry run. */
class RolledBack extends Error {}

/** Thrown where the work of a member fails by a fault: the transaction is no good any more. */
class Spoilt extends Error {
  constructor(cause: unknown) {
    super('the work of a member failed', { cause })
  }
}

/** What failed, where a turn failed by the fault that is given. */
export function faultOf(error: unknown): unknown {
  return error instanceof Spoilt ? error.cause : error
}

/**
 * Whether a turn that failed so has certainly written nothing: a member's work failed, or a statement did. Where the commit
 * fails, as when the connection breaks, nobody can say.
 */
export function leftNothing(error: unknown): boolean {
  return error instanceof Spoilt || (error instanceof Prisma.PrismaClientKnownRequestError && error.code === 'P2010')
}

type Entry = Parameters<Log>

/** What is the same for all members. */
type Common = Omit<OrderWriting, 'log' | 'atEnd' | 'snapshot' | 'refs'>

class Turn {
  /** Whether anything came of it. */
  written = false
  readonly #locked: Locked
  readonly #writing: Common
  /** The records whose plan the rows have, but for what is left to the end. */
  readonly #swept: Snapshot
  /** What the sweep logged: it belongs to the first revision. */
  #entries: Entry[]
  /** The records before whoever comes next, and before the sweep where that has no revision yet. */
  #before: Snapshot
  /** The records as whoever comes next finds them. */
  #snapshot: Snapshot
  readonly #changes: PlanDelta[] = []

  static async begin({ distributorId, clock, snapshots }: PlanningActor, locked: Locked): Promise<Turn> {
    const { tx, revision, timeZone, offerKey } = locked
    const today = todayIn(clock, timeZone)
    const now = clock.now()
    const before = await snapshots.locked(tx, distributorId, revision, today)
    const entries: Entry[] = []
    const swept = await sweepLapsed(tx, (...entry) => entries.push(entry), before, now)
    return new Turn(locked, { tx, today, now, offerKey }, before, swept, entries)
  }

  constructor(locked: Locked, writing: Common, before: Snapshot, swept: Snapshot, entries: Entry[]) {
    this.#locked = locked
    this.#writing = writing
    this.#before = before
    this.#swept = swept
    this.#snapshot = swept
    this.#entries = entries
  }

  /** Runs the work of one member. Throws `Spoilt` for what is no refusal. */
  async take({ dryRun, work }: Member): Promise<Outcome> {
    const { tx } = this.#writing
    const snapshot = this.#snapshot
    const entries: Entry[] = []
    const writes: Parameters<Locked['atEnd']> = []
    const refs = new OrderReferences(tx, snapshot.distributorId, snapshot.problem)
    let written: LinesWritten
    try {
      written = await work({
        ...this.#writing,
        snapshot,
        refs,
        log: (...entry) => entries.push(entry),
        atEnd: (...more) => writes.push(...more),
      })
    } catch (error) {
      if (error instanceof Refusal) return { error }
      throw new Spoilt(error)
    }
    if (dryRun) return { revision: snapshot.revision }
    const { log, atEnd, endRevision } = this.#locked
    for (const entry of [...this.#entries, ...entries]) log(...entry)
    this.#entries = []
    atEnd(...writes)
    await this.#noteRisks(written.changed, entries.at(-1))
    this.#follow(written, endRevision())
    return { revision: this.#snapshot.revision }
  }

  /** Leaves what becomes of the plan in force to be written. Answers the records as they are once all is committed. */
  async end(): Promise<Snapshot> {
    const { tx, atEnd } = this.#locked
    atEnd(...(await planWrites(tx, this.#swept, this.#changes)))
    return this.#snapshot
  }

  #follow({ changed, placed, reserved }: LinesWritten, revision: number): void {
    const { lastOrder } = this.#snapshot
    const after = changed ? snapshotAfter(this.#snapshot, changed, revision) : { ...this.#snapshot, revision }
    if (changed?.proposal) this.#changes.push(changed.proposal.delta)
    this.#snapshot = { ...after, reserved: reserved ?? after.reserved, lastOrder: lastOrder + (placed ? 1 : 0) }
    this.#before = this.#snapshot
    this.written = true
  }

  /** Tells of promises that are kept otherwise since, if any may be. */
  async #noteRisks(changed: Changed | undefined, last: Entry | undefined): Promise<void> {
    const [before, snapshot] = [this.#before, this.#snapshot]
    if (!last || !mayMoveRisks(before, snapshot, changed)) return
    const { problem, plan } = changed ?? { problem: snapshot.problem, plan: snapshot.inForce?.plan }
    if (!plan) return
    const [kind, entity] = last
    const cause: Cause = { kind, ...entity }
    const plans = {
      distributorId: snapshot.distributorId,
      problem,
      before: [before.inForce?.plan, before.inForce?.held().plan] as const,
      after: plan,
      asked: new Set(changed?.lines.map(({ id }) => id)),
    }
    await noteRisks(this.#locked.tx, this.#locked.log, plans, cause)
  }
}

/** Whether a promise may be kept otherwise since: not where everyone but the lines that came and left keeps what they had. */
function mayMoveRisks(before: Snapshot, swept: Snapshot, changed: Changed | undefined): boolean {
  if (!before.inForce || (!changed && swept === before)) return false
  if (swept !== before || !changed?.proposal?.inPlace || !before.inForce.holds()) return true
  const { gone, put } = changed.proposal.delta.brokenPromises
  return gone.length + put.length > 0
}
