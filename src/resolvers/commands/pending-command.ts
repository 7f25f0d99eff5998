// A command on its way through the executor: what is prepared for it, what was decided, and the promise of its answer.
import type { Write } from '../../database/batched-statement.ts'
import type { TransactionClient } from '../../database/client.ts'
import type { Committed } from '../../database/distributor-lock.ts'
import type { Version } from '../../database/version.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import { OrderReferences } from '../orders/wanted-lines.ts'
import type { Decision, Envelope, ReadContext, Records } from './command.ts'

/** What prepared data holds by. */
export interface Basis {
  /** The data is of this version, or later. */
  version: Version
  today: LocalDate
  /** Ids on whose entries in the change log it depends. */
  ids: ReadonlySet<string>
}

/** A command of any kind, as the executor and its batches handle it. */
export interface Pending {
  readonly dryRun: boolean
  /** The caller's key, unless nothing is written. */
  readonly key: string | undefined
  /** The id of the API key that it came with. */
  readonly keyId: string | undefined
  /** What was read for it last, a refusal included; undefined while nothing was. */
  readonly basis: Basis | undefined
  /** Whether there is prepared data, which holds by `basis`. */
  readonly isPrepared: boolean
  /** Whether it runs in a transaction of its own and is prepared behind the lock: a batch with it failed. */
  alone: boolean
  /** Reads what it needs, which is of `version` or later. Rejects with its refusal. */
  prepare(context: Omit<ReadContext, 'refs' | 'dependOn'>, version: Version): Promise<void>
  /** Throws its refusal. */
  decide(records: Records): Decision<unknown>
  /** Whether it was answered before under its key; then it is answered so again. */
  answeredBefore(tx: TransactionClient): Promise<boolean>
  /** Notes that what was decided holds since `revision`. Answers the rows that keep the answer under its key. */
  decided(revision: number): Write[]
  /** Notes why it is not done. */
  refused(error: unknown): void
  /** Gives the caller what was noted last. */
  settle(): void
}

export class PendingCommand<Prepared, Answer> implements Pending {
  alone = false
  basis: Basis | undefined
  /** What the caller gets. */
  readonly outcome: Promise<Committed<Answer>>
  readonly keyId: string | undefined
  readonly #envelope: Envelope<Prepared, Answer>
  #prepared: Prepared | undefined
  #decision: Decision<Answer> | undefined
  #resolve: (outcome: Committed<Answer> | Promise<never>) => void = () => {}
  #noted: Committed<Answer> | { error: unknown } | undefined

  constructor(envelope: Envelope<Prepared, Answer>, keyId: string | undefined) {
    this.keyId = keyId
    this.#envelope = envelope
    this.outcome = new Promise((resolve) => {
      this.#resolve = resolve
    })
  }

  get dryRun(): boolean {
    return this.#envelope.dryRun ?? false
  }

  get key(): string | undefined {
    return this.dryRun ? undefined : this.#envelope.once?.key
  }

  get isPrepared(): boolean {
    return this.#prepared !== undefined
  }

  async prepare(context: Omit<ReadContext, 'refs' | 'dependOn'>, version: Version): Promise<void> {
    const { client, snapshot, today, now } = context
    const ids = new Set<string>()
    const basis = { version, today, ids }
    const refs = new OrderReferences(client, snapshot.distributorId, snapshot.problem, now)
    const dependOn = (...more: string[]) => {
      for (const id of more) ids.add(id)
    }
    this.basis = basis
    this.#prepared = undefined
    this.#prepared = await this.#envelope.command.prepare({ ...context, refs, dependOn })
  }

  decide(records: Records): Decision<unknown> {
    if (this.#prepared === undefined) throw new Error('a command was decided before it was prepared')
    this.#decision = this.#envelope.command.decide(records, this.#prepared)
    return this.#decision
  }

  async answeredBefore(tx: TransactionClient): Promise<boolean> {
    const first = this.key === undefined ? undefined : await this.#envelope.once?.find(tx)
    this.#noted = first
    return first !== undefined
  }

  decided(revision: number): Write[] {
    if (!this.#decision) throw new Error('a command was done before it was decided')
    const committed = { result: this.#decision.answer, revision }
    this.#noted = committed
    return this.key === undefined ? [] : (this.#envelope.once?.keep(committed) ?? [])
  }

  refused(error: unknown): void {
    this.#noted = { error }
  }

  settle(): void {
    const noted = this.#noted ?? { error: new Error('a command has no outcome') }
    this.#resolve('error' in noted ? Promise.reject(noted.error) : noted)
  }
}
