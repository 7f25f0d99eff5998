// How all that is written about orders is written: under the lock, into the plan in force too, with the change log; and
// the snapshot in memory follows.
import { todayIn } from '../../clock.ts'
import { dateOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { type Committed, type Locked, type Log, withDistributorLock } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { Conflict } from '../../errors.ts'
import type { LocalDate, OrderLine } from '../../planner/problem.ts'
import type { Reserved } from '../../records/reserved.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { sweepLapsed } from '../reservations/sweep.ts'
import type { Written } from '../setup/noun.ts'
import { findThing } from '../thing-ref.ts'
import { describeOrder } from './describe.ts'
import { type Cause, noteRisks } from './note-risks.ts'
import { type LineOutcome, outcomeOf } from './outcome.ts'
import { type Changed, snapshotAfter } from './replan.ts'
import { OrderReferences } from './wanted-lines.ts'
import { planWrites } from './write-plan.ts'

export interface OrderWriting {
  tx: TransactionClient
  log: Log
  atEnd: Locked['atEnd']
  /** The records under the lock; reservations that have run out are gone from them. */
  snapshot: Snapshot
  refs: OrderReferences
  /** The distributor's today. */
  today: LocalDate
  /** This instant, the same for all that is written. */
  now: Date
  /** The distributor's key for offer tokens. */
  offerKey: string
}

/** What was written. */
export interface LinesWritten {
  /** Whether an order came, with the next number. */
  placed?: boolean
  /** What became of the problem and the plan in force. Absent: neither changed. */
  changed?: Changed
  /** The reservations that hold now. Absent: those that held before. */
  reserved?: readonly Reserved[]
}

/** What was written of an order. */
export interface OrderWritten extends LinesWritten {
  id: string
  /** Such as `ORDER_PLACED`. */
  event: string
  /** The order as it was. Absent: it is new. */
  before?: object
  /** The order as it is. Absent: it is read. */
  after?: object
}

/** What became of an order, or would. */
export interface OrderAnswer extends Written {
  /** Whether nothing was written: it is what would be. */
  dryRun: boolean
  /** Its lines that changed, came or left, before and after. */
  outcome: LineOutcome[]
}

/** Runs `work`, which writes rows of one order; writes the plan in force and the change log after it. */
export async function writeOrder(
  actor: PlanningActor,
  dryRun: boolean,
  work: (writing: OrderWriting) => Promise<OrderWritten>,
): Promise<OrderAnswer> {
  const { distributorId } = actor
  const { result, revision } = await writeLines(actor, dryRun, async (writing) => {
    const { tx, log, snapshot } = writing
    const written = await work(writing)
    const after = written.after ?? (await describeOrder(tx, distributorId, written.id))
    log(written.event, { type: 'Order', id: written.id }, written.before, after)
    return { ...written, outcome: outcomeOf(snapshot, written.changed, written.id) }
  })
  return { id: result.id, revision, dryRun, outcome: result.outcome }
}

/**
 * Runs `work`, which writes rows of lines that are ordered or reserved and logs what it did; writes the plan in force after
 * it. Reservations that have run out are swept out before. The snapshot in memory follows once all is committed. After a
 * dry run everything is as it was, and the answer is what would have become of it.
 */
export async function writeLines<Result extends LinesWritten>(
  actor: PlanningActor,
  dryRun: boolean,
  work: (writing: OrderWriting) => Promise<Result>,
): Promise<Committed<Result>> {
  const { distributorId, clock, snapshots } = actor
  let tried: Committed<Result> | undefined
  try {
    const { result, revision } = await withDistributorLock(actor, distributorId, async (locked) => {
      const { tx, log, atEnd, revision, timeZone, offerKey } = locked
      const today = todayIn(clock, timeZone)
      const now = clock.now()
      const before = await snapshots.locked(tx, distributorId, revision, today)
      let cause: Cause | undefined
      const noting: Log = (kind, entity, ...versions) => {
        cause = { kind, ...entity }
        log(kind, entity, ...versions)
      }
      const snapshot = await sweepLapsed(tx, noting, before, now)
      const refs = new OrderReferences(tx, distributorId, snapshot.problem)
      const written = await work({ tx, log: noting, atEnd, snapshot, refs, today, now, offerKey })
      if (dryRun) {
        tried = { result: written, revision }
        throw new RolledBack()
      }
      if (written.changed) atEnd(...(await planWrites(tx, snapshot, written.changed)))
      if (cause && mayMoveRisks(before, snapshot, written.changed)) {
        const { problem, plan } = written.changed ?? { problem: snapshot.problem, plan: snapshot.inForce?.plan }
        const earlier = [before.inForce?.plan, before.inForce?.held().plan]
        if (plan) await noteRisks(tx, log, { distributorId, problem, before: earlier, after: plan }, cause)
      }
      return { snapshot, written }
    })
    const { snapshot, written } = result
    const after = written.changed ? snapshotAfter(snapshot, written.changed, revision) : { ...snapshot, revision }
    snapshots.keep({
      ...after,
      reserved: written.reserved ?? after.reserved,
      lastOrder: snapshot.lastOrder + (written.placed ? 1 : 0),
    })
    return { result: written, revision }
  } catch (error) {
    if (error instanceof RolledBack && tried) return tried
    throw refusedByDatabase(error) ?? error
  }
}

/** Whether a promise may be kept otherwise since: not where everyone but the lines that came and left keeps what they had. */
function mayMoveRisks(before: Snapshot, swept: Snapshot, changed: Changed | undefined): boolean {
  if (!before.inForce || (!changed && swept === before)) return false
  if (swept !== before || !changed?.proposal?.inPlace || !before.inForce.holds()) return true
  const { gone, put } = changed.proposal.delta.brokenPromises
  return gone.length + put.length > 0
}

/** Thrown to have the database take back what a dry run wrote. */
class RolledBack extends Error {}

/** Throws `Conflict` where another thing of the kind has the reference. */
export async function refuseTaken(
  { tx, snapshot: { distributorId } }: OrderWriting,
  kind: 'Order' | 'OrderLine' | 'Reservation',
  externalRef: string | undefined,
  path: string,
  own?: string,
): Promise<void> {
  if (externalRef === undefined) return
  const holder = await findThing(tx, distributorId, kind, { externalRef })
  if (holder && holder.id !== own)
    throw new Conflict('EXTERNAL_REF_TAKEN', `${path}: another ${kind} has the reference "${externalRef}".`)
}

/** The columns of a line that the planner knows. */
export function lineColumns(line: OrderLine) {
  const date = (day: LocalDate | undefined) => (day === undefined ? null : dateOf(day))
  return {
    packId: line.packId,
    quantity: line.quantity,
    serveOn: dateOf(line.serveOn),
    latestServeOn: date(line.latestServeOn),
    promisedOn: date(line.promisedOn),
    priority: line.priority ?? 3,
    splittable: line.splittable ?? false,
  }
}
