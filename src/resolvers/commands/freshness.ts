// Whether what was prepared without the lock still holds behind it: the change log says what has changed since.
import type { Locked } from '../../database/distributor-lock.ts'
import { isSameVersion } from '../../database/version.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Basis } from './pending-command.ts'

/** Things of which a command depends on those alone that it names; of all others, which are set-up and plans, on any. */
const NAMED_ONE_BY_ONE: readonly string[] = ['Order', 'OrderLine', 'Reservation']

interface Changed {
  revision: number
  epoch: string
  entityType: string
  entityId: string
}

export class Freshness {
  readonly #locked: Locked
  readonly #snapshot: Snapshot
  readonly #swept: ReadonlySet<string>
  /** What has changed since `revision`, that included, as far back as was asked for. */
  #since: { revision: number; changed: Changed[] } | undefined

  /** `swept` are ids of reservations that have just been swept out. */
  constructor(locked: Locked, snapshot: Snapshot, swept: ReadonlySet<string>) {
    this.#locked = locked
    this.#snapshot = snapshot
    this.#swept = swept
  }

  /** Whether nothing that data of this basis depends on has changed. At most one query, none where the version is the same. */
  async isFresh({ version, today, ids }: Basis): Promise<boolean> {
    if (today !== this.#snapshot.today || [...ids].some((id) => this.#swept.has(id))) return false
    if (isSameVersion(version, this.#locked)) return true
    const { revision, epoch } = version
    const matters = ({ entityType, entityId }: Changed) => !NAMED_ONE_BY_ONE.includes(entityType) || ids.has(entityId)
    const changed = await this.#changedSince(revision)
    // Records that no longer have the commit that it was read from are others, whatever their number.
    if (revision > 0 && !changed.some((each) => each.revision === revision && each.epoch === epoch)) return false
    return !changed.some((each) => each.revision > revision && matters(each))
  }

  async #changedSince(revision: number): Promise<Changed[]> {
    const { tx } = this.#locked
    if (!this.#since || this.#since.revision > revision) {
      const changed = await tx.changeLogEntry.findMany({
        where: { distributorId: this.#snapshot.distributorId, revision: { gte: revision } },
        select: { revision: true, epoch: true, entityType: true, entityId: true },
      })
      this.#since = { revision, changed }
    }
    return this.#since.changed
  }
}
