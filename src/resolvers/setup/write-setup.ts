// How every change of set-up is written: under the lock, with its entry of the change log, and the plan in force repaired in
// the same transaction.
import type { ChangeKind } from '../../database/change-kinds.ts'
import type { TransactionClient } from '../../database/client.ts'
import { type Entity, withDistributorLock } from '../../database/distributor-lock.ts'
import type { Actor } from '../actor.ts'
import { planInForce, repairPlan, SETUP_CHANGE } from '../floor/repair-plan.ts'
import type { Written } from '../written.ts'

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

/**
 * Runs `change`, which writes the rows and answers what to log, as the only writer of the records; then logs it, repairs
 * the plan in force, and logs the promises that it puts at risk or makes safe. `revision` is the one that it makes.
 */
export async function writeSetup(
  actor: Actor,
  change: (tx: TransactionClient, revision: number) => Promise<SetupChange | Unchanged>,
): Promise<Written> {
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
