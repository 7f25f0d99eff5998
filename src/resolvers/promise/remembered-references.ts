// Accounts and packs that questions name, looked up once for each snapshot: whatever changes them makes a new one.
import type { TransactionClient } from '../../database/client.ts'
import type { Issue } from '../../errors.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import { OrderReferences } from '../orders/wanted-lines.ts'
import type { ThingRef } from '../thing-ref.ts'

/** Ids by kind and reference; of things that exist and can be ordered, so no more than there are. */
const known = new WeakMap<Snapshot, Map<string, string>>()

export class RememberedReferences extends OrderReferences {
  readonly #ids: Map<string, string>
  #noted = 0

  constructor(tx: TransactionClient, distributorId: string, snapshot: Snapshot) {
    super(tx, distributorId, snapshot.problem)
    this.#ids = known.get(snapshot) ?? new Map<string, string>()
    known.set(snapshot, this.#ids)
  }

  override note(...issues: Issue[]): void {
    this.#noted += issues.length
    super.note(...issues)
  }

  override account(ref: ThingRef, path: string): Promise<string> {
    return this.#remembered('Account', ref, () => super.account(ref, path))
  }

  override pack(ref: ThingRef, path: string): Promise<string> {
    return this.#remembered('Pack', ref, () => super.pack(ref, path))
  }

  async #remembered(kind: string, ref: ThingRef, find: () => Promise<string>): Promise<string> {
    const key = JSON.stringify([kind, ref])
    const found = this.#ids.get(key)
    if (found !== undefined) return found
    const before = this.#noted
    const id = await find()
    // What is wrong is told each time anew.
    if (this.#noted === before) this.#ids.set(key, id)
    return id
  }
}
