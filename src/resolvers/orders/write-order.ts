// How all that is written about orders is written: under the lock, into the plan in force too, with the change log; and
// the snapshot in memory follows.
import { todayIn } from '../../clock.ts'
import { dateOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { type Log, withDistributorLock } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { Conflict } from '../../errors.ts'
import type { LocalDate, OrderLine } from '../../planner/problem.ts'
import { changePlan } from '../../records/change-plan.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { Written } from '../setup/noun.ts'
import { findThing } from '../thing-ref.ts'
import { describeOrder } from './describe.ts'
import { type Changed, snapshotAfter } from './replan.ts'
import { OrderReferences } from './wanted-lines.ts'

export interface OrderWriting {
  tx: TransactionClient
  log: Log
  snapshot: Snapshot
  refs: OrderReferences
  /** The distributor's today. */
  today: LocalDate
}

/** What was written of an order. */
export interface OrderWritten {
  id: string
  /** Such as `ORDER_PLACED`. */
  event: string
  /** The order as it was. Absent: it is new. */
  before?: object
  /** What became of the problem and the plan in force. Absent: neither changed. */
  changed?: Changed
}

/** Runs `work`, which writes rows of one order; writes the plan in force and the change log after it. */
export async function writeOrder(
  actor: PlanningActor,
  work: (writing: OrderWriting) => Promise<OrderWritten>,
): Promise<Written> {
  const { distributorId, clock, snapshots } = actor
  try {
    const { result, revision } = await withDistributorLock(actor, distributorId, async ({ tx, log, revision }) => {
      const { timeZone } = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
      const today = todayIn(clock, timeZone)
      const snapshot = await snapshots.locked(tx, distributorId, revision, today)
      const refs = new OrderReferences(tx, distributorId, snapshot.problem)
      const written = await work({ tx, log, snapshot, refs, today })
      if (written.changed) await writePlan(tx, snapshot, written.changed)
      const after = await describeOrder(tx, distributorId, written.id)
      log(written.event, { type: 'Order', id: written.id }, written.before, after)
      return { snapshot, written }
    })
    const { snapshot, written } = result
    if (written.changed) snapshots.keep(snapshotAfter(snapshot, written.changed, revision))
    return { id: written.id, revision }
  } catch (error) {
    throw refusedByDatabase(error) ?? error
  }
}

/** Writes what a change makes of the plan in force, whose horizon is now the problem's. */
async function writePlan(tx: TransactionClient, snapshot: Snapshot, { plan, problem }: Changed): Promise<void> {
  const { distributorId, inForce } = snapshot
  if (!inForce || !plan) return
  await changePlan(tx, distributorId, inForce.planId, inForce.plan, plan)
  await tx.plan.update({
    where: { distributorId_id: { distributorId, id: inForce.planId } },
    data: { today: dateOf(problem.today), horizonDays: problem.horizonDays },
  })
}

/** Throws `Conflict` where another thing of the kind has the reference. */
export async function refuseTaken(
  { tx, snapshot: { distributorId } }: OrderWriting,
  kind: 'Order' | 'OrderLine',
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
