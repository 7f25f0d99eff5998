// Whether what was prepared without the lock still holds behind it: the change log says what has changed since.
import type { Locked } from '../../database/distributor-lock.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Basis } from './pending-command.ts'

/** Things of which a command depends on those alone that it names; of all others, which are set-up and plans, on any. */
const NAMED_ONE_BY_ONE: readonly string[] = ['Order', 'OrderLine', 'Reservation']

interface Changed {
  revision: number
  entityType: string
  entityId: string
}

export class Freshness {
  readonly #locked: Locked
  readonly #snapshot: Snapshot
  readonly #swept: ReadonlySet<string>
  /** What has changed after `revision`, as far back as was asked for. */
  #since: { revision: number; changed: Changed[] } | undefined

  /** `swept` are ids of reservations that have just been swept out. */
  constructor(locked: Locked, snapshot: Snapshot, swept: ReadonlySet<string>) {
    this.#locked = locked
    this.#snapshot = snapshot
    this.#swept = swept
  }

  /** Whether nothing that data of this basis depends on has changed. At most one query, none where the revision is the same. */
  async isFresh({ revision, today, ids }: Basis): Promise<boolean> {
    if (today !== this.#snapshot.today || [...ids].some((id) => this.#swept.has(id))) return false
    const matters = ({ entityType, entityId }: Changed) => !NAMED_ONE_BY_ONE.includes(entityType) || ids.has(entityId)
    return !(await this.#changedSince(revision)).some((each) => each.revision > revision && matters(each))
  }

  async #changedSince(revision: number): Promise<Changed[]> {
    const { tx, revision: now } = this.#locked
    if (revision >= now) return []
    if (!this.#since || this.#since.revision > revision) {
      const changed = await tx.changeLogEntry.findMany({
        where: { distributorId: this.#snapshot.distributorId, revision: { gt: revision } },
        select: { revision: true, entityType: true, entityId: true },
      })
      this.#since = { revision, changed }
    }
    return this.#since.changed
  }
}
