// A batch: commands that are decided one after the other behind the lock and written in one batched statement. Each finds the
// records as the one before it leaves them, and has a revision of its own.
import { todayIn } from '../../clock.ts'
import type { Locked } from '../../database/distributor-lock.ts'
import { isTransactionConflict } from '../../database/transaction.ts'
import { Refusal } from '../../errors.ts'
import type { LocalDate, PlanDelta } from '../../planner/documents/index.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import { type Cause, noteRisks } from '../orders/note-risks.ts'
import { GAVE_WAY } from '../orders/order-answer.ts'
import { type Changed, snapshotAfter } from '../orders/replan.ts'

import { sweepLapsed } from '../reservations/sweep.ts'
import type { CommandActor, Decision, LogEntry, Records } from './command.ts'
import { Freshness } from './freshness.ts'
import type { Pending } from './pending-command.ts'
import { planWrites } from './plan-writes.ts'

/** Thrown where a command fails by a fault: the transaction is rolled back. `cause` is the fault. */
export class CommandFailed extends Error {
  constructor(cause: unknown) {
    super('a command failed', { cause })
  }
}

export class WriteBatch {
  /** Whether there is anything to write. */
  written = false
  readonly #locked: Locked
  readonly #today: LocalDate
  readonly #now: Date
  readonly #fresh: Freshness
  /** The records whose plan the rows have until the batch is written. */
  readonly #swept: Snapshot
  /** What the sweep logged: it belongs to the first revision. */
  #entries: LogEntry[]
  /** The records before the next command, and before the sweep where that has no revision yet. */
  #before: Snapshot
  /** The records as the next command finds them. */
  #snapshot: Snapshot
  readonly #changes: PlanDelta[] = []
  readonly #keys = new Set<string>()
  /** Ids of things that the batch has changed: their rows are not written yet. */
  readonly #touched = new Set<string>()

  /** Begins a batch behind the lock: reservations that have run out are swept out. */
  static async begin({ distributorId, clock, snapshots }: CommandActor, locked: Locked): Promise<WriteBatch> {
    const { tx, timeZone } = locked
    const today = todayIn(clock, timeZone)
    const now = clock.now()
    const before = await snapshots.locked(tx, distributorId, locked, today)
    const entries: LogEntry[] = []
    const swept = await sweepLapsed(tx, (...entry) => entries.push(entry), before, now)
    return new WriteBatch(locked, { today, now }, before, swept, entries)
  }

  private constructor(
    locked: Locked,
    { today, now }: Omit<Records, 'snapshot'>,
    before: Snapshot,
    swept: Snapshot,
    entries: LogEntry[],
  ) {
    this.#locked = locked
    this.#today = today
    this.#now = now
    this.#before = before
    this.#swept = swept
    this.#snapshot = swept
    this.#entries = entries
    this.#fresh = new Freshness(locked, swept, new Set(entries.map(([, { id }]) => id)))
  }

  /**
   * Decides a command and leaves what it writes to the end; a refusal is noted. False: the command depends on what the batch
   * has changed and not written, so that it must wait for the next batch. Throws `CommandFailed` for what is no refusal.
   */
  async add(pending: Pending): Promise<boolean> {
    if (pending.key !== undefined && this.#keys.has(pending.key)) return false
    if (this.#collides(pending)) return false
    try {
      if (await pending.answeredBefore(this.#locked.tx)) return true
      await this.#prepare(pending)
      if (this.#collides(pending)) return false
      const decision = pending.decide({ snapshot: this.#snapshot, today: this.#today, now: this.#now })
      await this.#take(pending, decision)
    } catch (error) {
      if (error instanceof Refusal) {
        if (this.#collides(pending)) return false
        pending.refused(error)
      } else if (isTransactionConflict(error) || error instanceof CommandFailed) throw error
      else throw new CommandFailed(error)
    }
    return true
  }

  /** Leaves the change of the plan in force to be written. Answers the records as they are after the commit, but for its epoch. */
  async end(): Promise<Snapshot> {
    const { tx, atEnd } = this.#locked
    atEnd(...(await planWrites(tx, this.#swept, this.#changes)))
    return this.#snapshot
  }

  #collides({ basis }: Pending): boolean {
    return basis !== undefined && [...this.#touched].some((id) => basis.ids.has(id))
  }

  async #prepare(pending: Pending): Promise<void> {
    if (!pending.alone && pending.isPrepared && pending.basis && (await this.#fresh.isFresh(pending.basis))) return
    const { tx, revision, epoch, offerKey } = this.#locked
    const context = { client: tx, snapshot: this.#snapshot, today: this.#today, now: this.#now, offerKey }
    await pending.prepare(context, { revision, epoch })
  }

  async #take(pending: Pending, decision: Decision<unknown>): Promise<void> {
    if (pending.dryRun || decision.entries.length === 0) {
      pending.decided(this.#snapshot.revision)
      return
    }
    const { entries, writes, changed } = decision
    const { log, by, atEnd, endRevision } = this.#locked
    by(undefined)
    for (const entry of this.#entries) log(...entry)
    this.#entries = []
    by(pending.keyId)
    for (const entry of entries) log(...entry)
    this.#noteWishes(changed, entries.at(-1))
    await this.#noteRisks(changed, entries.at(-1))
    this.#follow(decision, endRevision())
    atEnd(...writes, ...pending.decided(this.#snapshot.revision))
    for (const [, { id }] of entries) this.#touched.add(id)
    if (pending.key !== undefined) this.#keys.add(pending.key)
  }

  #follow({ changed, placed, reserved }: Decision<unknown>, revision: number): void {
    const { lastOrder } = this.#snapshot
    const after = changed ? snapshotAfter(this.#snapshot, changed, revision) : { ...this.#snapshot, revision }
    if (changed?.proposal) this.#changes.push(changed.proposal.delta)
    this.#snapshot = { ...after, reserved: reserved ?? after.reserved, lastOrder: lastOrder + (placed ? 1 : 0) }
    this.#before = this.#snapshot
    this.written = true
  }

  /** Logs the lines without a promise that gave way. */
  #noteWishes(changed: Changed | undefined, last: LogEntry | undefined): void {
    if (!last) return
    const [kind, entity] = last
    for (const { orderLineId, before, after } of changed?.gaveWay ?? []) {
      const now = { expectedOn: after.serveOn, served: after.served, cause: { kind, ...entity } }
      const line = { type: 'OrderLine', id: orderLineId }
      this.#locked.log(GAVE_WAY, line, { expectedOn: before.serveOn, served: before.served }, now)
    }
  }

  /** Logs the promises that are kept otherwise since, if any may be. */
  async #noteRisks(changed: Changed | undefined, last: LogEntry | undefined): Promise<void> {
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

/** Whether a promise may be kept otherwise since: not where all lines but those that came and left keep what they had. */
function mayMoveRisks(before: Snapshot, swept: Snapshot, changed: Changed | undefined): boolean {
  if (!before.inForce || (!changed && swept === before)) return false
  if (swept !== before || !changed?.proposal?.inPlace || !before.inForce.holds()) return true
  const { gone, put } = changed.proposal.delta.brokenPromises
  return gone.length + put.length > 0
}
