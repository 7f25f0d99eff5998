// A fact or a set-up change may leave the plan in force unable to keep a promise: it is noted in the same transaction. The
// writer takes the plan before its rows change, writes and logs, and then notes what became of the promises.
import { randomUUID } from 'node:crypto'
import { todayIn } from '../../clock.ts'
import type { Locked } from '../../database/distributor-lock.ts'
import type { Plan } from '../../planner/documents/index.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Actor } from '../actor.ts'
import { type Cause, noteRisks } from './note-risks.ts'

/** The plan in force before a change: as its rows say, and as it holds, where that could be found out. */
export type PlanBefore = readonly [asWritten: Plan | undefined, held: Plan | undefined]

/** The plan in force before anything is written; undefined where none is in force, or where the actor keeps no snapshots. */
export async function planBefore(actor: Actor, { tx, revision, timeZone }: Locked): Promise<PlanBefore | undefined> {
  const { snapshots, distributorId, clock, onFault } = actor
  const inForce = await tx.plan.findFirst({ where: { distributorId, status: 'IN_FORCE' }, select: { id: true } })
  if (!snapshots || !inForce) return undefined
  const before = await snapshots.locked(tx, distributorId, revision, todayIn(clock, timeZone))
  return [before.inForce?.plan, planAsHeld(before, onFault)]
}

/**
 * Logs the promises that a change, which is written and logged, puts at risk or makes safe. Answers the records as they will
 * be once it is committed, but for their revision; undefined where nothing was compared. A plan that cannot be opened is
 * reported to `onFault`: it never undoes the change.
 */
export async function noteRisksSince(
  actor: Actor,
  { tx, log }: Locked,
  before: PlanBefore | undefined,
  cause: Cause,
): Promise<Snapshot | undefined> {
  const { snapshots, distributorId, clock, onFault } = actor
  if (!snapshots || !before) return undefined
  // The change may be of the zone.
  const zone = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId }, select: { timeZone: true } })
  const after = await snapshots.fresh(tx, distributorId, todayIn(clock, zone.timeZone))
  const heldAfter = planAsHeld(after, onFault)
  if (!heldAfter) return undefined
  await noteRisks(tx, log, { distributorId, problem: after.problem, before, after: heldAfter }, cause)
  return after
}

/** The plan in force as it holds; undefined where that cannot be found out, which is a fault of ours and no one else's. */
function planAsHeld({ inForce }: Snapshot, onFault: Actor['onFault']): Plan | undefined {
  try {
    return inForce?.held().plan
  } catch (error) {
    onFault?.(error, randomUUID())
    return undefined
  }
}
