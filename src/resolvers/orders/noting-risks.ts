// A fact or a set-up change may leave the plan in force unable to keep a promise: it is noted in the same transaction.
import { randomUUID } from 'node:crypto'
import { todayIn } from '../../clock.ts'
import type { Locked } from '../../database/distributor-lock.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Actor } from '../actor.ts'
import { type Cause, noteRisks } from './note-risks.ts'

export interface Noted<Result> {
  result: Result
  /** The records as they are once it is committed, but for their revision. Absent: not looked at. */
  after?: Snapshot
}

/**
 * Runs `work`, which writes facts or set-up and logs it, and logs the promises that it puts at risk or makes safe. What was
 * done is done, whatever comes of looking at the plan.
 */
export async function notingRisks<Result>(
  actor: Actor,
  locked: Locked,
  work: (locked: Locked) => Promise<Result>,
): Promise<Noted<Result>> {
  const { snapshots, distributorId, clock, onFault } = actor
  const { tx, log, revision, timeZone } = locked
  const inForce = await tx.plan.findFirst({ where: { distributorId, status: 'IN_FORCE' }, select: { id: true } })
  if (!snapshots || !inForce) return { result: await work(locked) }
  const before = await snapshots.locked(tx, distributorId, revision, todayIn(clock, timeZone))
  const heldBefore = heldPlan(before, onFault)
  let cause: Cause | undefined
  const result = await work({
    ...locked,
    log: (kind, entity, ...versions) => {
      cause = { kind, ...entity }
      log(kind, entity, ...versions)
    },
  })
  if (!cause) return { result }
  // The work may have changed the zone.
  const zone = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId }, select: { timeZone: true } })
  const after = await snapshots.fresh(tx, distributorId, todayIn(clock, zone.timeZone))
  const heldAfter = heldPlan(after, onFault)
  if (!heldAfter) return { result }
  const { problem } = after
  const plans = { distributorId, problem, before: [before.inForce?.plan, heldBefore] as const, after: heldAfter }
  await noteRisks(tx, log, plans, cause)
  return { result, after }
}

/** The plan in force as it holds; undefined where that cannot be found out, which is a fault of ours and no one else's. */
function heldPlan({ inForce }: Snapshot, onFault: Actor['onFault']) {
  try {
    return inForce?.held().plan
  } catch (error) {
    onFault?.(error, randomUUID())
    return undefined
  }
}
