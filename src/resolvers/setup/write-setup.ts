// How every change of set-up is written: under the lock, with its entry of the change log, and the plan in force repaired in
// the same transaction.
import type { ChangeKind } from '../../database/change-kinds.ts'
import type { TransactionClient } from '../../database/client.ts'
import { type Entity, withDistributorLock } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { isTransactionConflict } from '../../database/transaction.ts'
import { isAway } from '../../database/unavailable.ts'
import { Refusal } from '../../errors.ts'
import type { Actor } from '../actor.ts'
import { planInForce, repairPlan, SETUP_CHANGE } from '../floor/repair-plan.ts'
import type { Cause } from '../orders/note-risks.ts'
import type { Did, Written } from '../written.ts'

/** A change of set-up as the change log has it. */
export interface SetupChange {
  /** Such as `VESSEL_CHANGED`. */
  kind: ChangeKind
  entity: Entity
  /** The thing as it was; undefined where it is new. */
  before?: object
  after: object
}

/** The thing that is as it was: no revision, and no entry in the change log. */
export interface Unchanged {
  entity: Entity
}

/** Writes rows of one thing, in the revision that it makes, and answers what to log of it. */
export type SetupWork = (tx: TransactionClient, revision: number) => Promise<SetupChange | Unchanged>

/**
 * Runs `change`, which writes the rows and answers what to log, as the only writer of the records; then logs it, repairs
 * the plan in force, and logs the promises that it puts at risk or makes safe. `revision` is the one that it makes.
 */
export async function writeSetup(actor: Actor, change: SetupWork): Promise<Written> {
  const { result, revision, epoch } = await withDistributorLock(actor, actor.distributorId, async (locked) => {
    const inForce = await planInForce(actor, locked)
    const changed = await change(locked.tx, locked.revision + 1)
    const { entity } = changed
    if (!('kind' in changed)) return { id: entity.id }
    locked.log(changed.kind, entity, changed.before, changed.after)
    const repaired = await repairPlan(actor, locked, inForce, SETUP_CHANGE, { kind: changed.kind, ...entity })
    return { id: entity.id, ...(repaired ? { repaired } : {}) }
  })
  const { id, repaired } = result
  if (repaired) actor.snapshots?.keep({ ...repaired.snapshot, revision, epoch })
  return { id, revision, ...(repaired ? { repaired } : {}) }
}

/** A change that was written, with the revision that it made; where the thing is as it was, the revision so far. */
export interface SetupDone {
  id: string
  did: Did
  revision: number
}

/**
 * Runs changes one after the other in one transaction, each whole or not at all and each with a revision of its own, and repairs the
 * plan in force once. Answers what became of each: a refusal undoes what that change has written, and no other. Throws where none
 * could be written.
 */
export async function writeSetupTogether(
  actor: Actor,
  changes: readonly SetupWork[],
): Promise<(SetupDone | Refusal)[]> {
  const { result, revision, epoch } = await withDistributorLock(actor, actor.distributorId, async (locked) => {
    const inForce = await planInForce(actor, locked)
    const done: (SetupDone | Refusal)[] = []
    let made = locked.revision
    let last: Cause | undefined
    for (const change of changes) {
      const changed = await wholeOrNot(locked.tx, () => change(locked.tx, made + 1))
      if (changed instanceof Refusal) {
        done.push(changed)
        continue
      }
      const { entity } = changed
      if ('kind' in changed) {
        locked.endRevision()
        locked.log(changed.kind, entity, changed.before, changed.after)
        made += 1
        last = { kind: changed.kind, ...entity }
      }
      const did = 'kind' in changed ? (changed.before ? 'UPDATED' : 'CREATED') : 'UNCHANGED'
      done.push({ id: entity.id, did, revision: made })
    }
    const repaired = last && (await repairPlan(actor, locked, inForce, SETUP_CHANGE, last))
    return { done, repaired }
  })
  if (result.repaired) actor.snapshots?.keep({ ...result.repaired.snapshot, revision, epoch })
  return result.done
}

/** Does some of the work of a transaction; a refusal undoes it, and leaves the rest of the transaction as it is. */
async function wholeOrNot<Result>(tx: TransactionClient, work: () => Promise<Result>): Promise<Result | Refusal> {
  await tx.$executeRaw`SAVEPOINT "one"`
  try {
    const result = await work()
    await tx.$executeRaw`RELEASE SAVEPOINT "one"`
    return result
  } catch (error) {
    if (isTransactionConflict(error) || isAway(error)) throw error
    const refusal = error instanceof Refusal ? error : refusedByDatabase(error)
    if (!refusal) throw error
    await tx.$executeRaw`ROLLBACK TO SAVEPOINT "one"`
    return refusal
  }
}
