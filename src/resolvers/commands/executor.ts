// The one way to write an order or a reservation: each command is prepared without the lock, decided behind it together with
// others that wait, written in one transaction, and published once that is committed.
import { todayIn } from '../../clock.ts'
import { Prisma } from '../../database/client.ts'
import { type Committed, withDistributorLock } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { isAway } from '../../database/unavailable.ts'
import { Refusal } from '../../errors.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import { letOthersBegin } from '../../thread-turns.ts'
import type { CommandActor, Envelope } from './command.ts'
import { type Pending, PendingCommand } from './pending-command.ts'
import { CommandFailed, WriteBatch } from './write-batch.ts'

/** Most commands of one transaction: it holds the lock for some tens of milliseconds. */
const MOST_TOGETHER = 16

/** Looks at the distributor's row until a snapshot in memory is found to be none of its records. */
const LOOKS = 3

interface Queue {
  /** Commands that are prepared as far as they can be without the lock, in the order in which they came. */
  pending: Pending[]
  /** How many have no answer yet, those that are being prepared or written included. */
  unanswered: number
  draining: boolean
}

/** The batch was for nothing, such as dry runs: the database takes the sweep back. */
class RolledBack extends Error {}

export class CommandExecutor {
  readonly #queues = new Map<string, Queue>()

  /**
   * Runs a command of the actor's distributor. Answers its result with the revision that it made; of a dry run, with the revision
   * that the records have; of a request that has written before under its caller's key, as then. Throws its refusals, and `Busy` where the database keeps giving up.
   */
  async execute<Prepared, Answer>(
    actor: CommandActor,
    envelope: Envelope<Prepared, Answer>,
  ): Promise<Committed<Answer>> {
    const once = envelope.dryRun ? undefined : actor.once?.take()
    const first = once?.first<Answer>()
    if (first) return first
    const written = this.#write(actor, [once ? { ...envelope, once } : envelope]).then(([only]) => answerIn(only))
    return once?.watch(written) ?? written
  }

  /**
   * Runs commands of the actor's distributor in their order, each for itself, and answers what became of each. As many wait at a time
   * as one transaction has, so that commands of others get their turn between them. The request's own key is for none of them: they
   * must bear to be sent twice.
   */
  async executeEach<Prepared, Answer>(
    actor: CommandActor,
    envelopes: readonly Envelope<Prepared, Answer>[],
  ): Promise<PromiseSettledResult<Committed<Answer>>[]> {
    const settled: PromiseSettledResult<Committed<Answer>>[] = []
    for (let from = 0; from < envelopes.length; from += MOST_TOGETHER)
      settled.push(...(await this.#write(actor, envelopes.slice(from, from + MOST_TOGETHER))))
    return settled
  }

  async #write<Prepared, Answer>(
    actor: CommandActor,
    envelopes: readonly Envelope<Prepared, Answer>[],
  ): Promise<PromiseSettledResult<Committed<Answer>>[]> {
    const queue = this.#queueOf(actor.distributorId)
    queue.unanswered += envelopes.length
    try {
      const commands = envelopes.map((envelope) => new PendingCommand(envelope, actor.keyId))
      // A refusal is kept as such: a promise that fails while others are prepared would be heard by nothing.
      const prepared: PromiseSettledResult<void>[] = []
      for (const pending of commands) prepared.push(...(await Promise.allSettled([prepareAhead(actor, pending)])))
      queue.pending.push(...commands.filter((_, index) => prepared[index]?.status === 'fulfilled'))
      if (!queue.draining) void this.#drain(actor, queue)
      const outcomes = commands.map(async ({ outcome }, index) => {
        answerIn(prepared[index])
        return outcome
      })
      return (await Promise.allSettled(outcomes)).map((settled) =>
        settled.status === 'fulfilled'
          ? settled
          : { ...settled, reason: refusedByDatabase(settled.reason) ?? settled.reason },
      )
    } finally {
      queue.unanswered -= envelopes.length
      if (queue.unanswered === 0) this.#queues.delete(actor.distributorId)
    }
  }

  #queueOf(distributorId: string): Queue {
    const queue = this.#queues.get(distributorId) ?? { pending: [], unanswered: 0, draining: false }
    this.#queues.set(distributorId, queue)
    return queue
  }

  async #drain(actor: CommandActor, queue: Queue): Promise<void> {
    queue.draining = true
    while (queue.pending.length > 0) {
      // Others that have come meanwhile are written with it: they begin first.
      await letOthersBegin()
      await writeNext(actor, queue.pending)
    }
    queue.draining = false
  }
}

/** What became of one. Throws why it was not done. */
function answerIn<Value>(settled: PromiseSettledResult<Value> | undefined): Value {
  if (settled?.status === 'fulfilled') return settled.value
  throw settled?.reason ?? new Error('a command has no outcome')
}

/**
 * Prepares a command without the lock, from the snapshot in memory. Where that is not current the command is prepared behind
 * the lock, which loads the snapshot anyway.
 */
async function prepareAhead(actor: CommandActor, pending: Pending): Promise<void> {
  const { client, clock, distributorId, snapshots } = actor
  // Others may write between the two looks: of a snapshot that seems newer only the next row says whether it is.
  for (let look = 1; look <= LOOKS; look += 1) {
    const row = await client.distributor.findUnique({
      where: { id: distributorId },
      select: { revision: true, epoch: true, timeZone: true, offerKey: true },
    })
    if (!row) return
    const { timeZone, offerKey, ...version } = row
    const now = clock.now()
    const today = todayIn(clock, timeZone)
    const snapshot = snapshots.inMemory(distributorId, version, { today, at: now })
    if (snapshot) return pending.prepare({ client, snapshot, today, now, offerKey }, version)
    if (!snapshots.seemsNewer(distributorId, version)) return
  }
}

/** Writes the next batch of those that wait, and gives each its answer. */
async function writeNext(actor: CommandActor, waiting: Pending[]): Promise<void> {
  const batch: Pending[] = []
  try {
    const snapshot = await writeBatch(actor, waiting, batch)
    if (snapshot) actor.snapshots.keep(snapshot)
    for (const each of batch) each.settle()
  } catch (error) {
    // Before the lock was there, nothing was taken out of the queue.
    if (batch.length === 0) batch.push(...waiting.splice(0, MOST_TOGETHER))
    // Those that wait would each wait as long again for a database that gives no answer.
    if (isAway(error)) batch.push(...waiting.splice(0))
    failBatch(actor, waiting, batch, error)
  }
}

/**
 * Moves commands from those that wait into the batch and writes what they decide, in one transaction. After a conflict the
 * batch is made up anew. Answers the records as they are then; undefined where nothing was written.
 */
async function writeBatch(actor: CommandActor, waiting: Pending[], batch: Pending[]): Promise<Snapshot | undefined> {
  try {
    const { result, epoch } = await withDistributorLock(
      { client: actor.client, clock: actor.clock },
      actor.distributorId,
      async (locked) => {
        waiting.unshift(...batch.splice(0))
        const open = await WriteBatch.begin(actor, locked)
        for (let next = waiting[0]; next && mayJoin(batch, next); next = waiting[0]) {
          waiting.shift()
          batch.push(next)
          if (await open.add(next)) continue
          batch.pop()
          waiting.unshift(next)
          break
        }
        if (!open.written) throw new RolledBack()
        return open.end()
      },
    )
    return { ...result, epoch }
  } catch (error) {
    if (error instanceof RolledBack) return undefined
    throw error
  }
}

function mayJoin(batch: readonly Pending[], next: Pending): boolean {
  if (batch.length === 0) return true
  return batch.length < MOST_TOGETHER && !next.alone && !batch[0]?.alone
}

/**
 * Ends a batch that failed. After a refusal, as where the database kept giving up, each is refused so. After a fault
 * the plan that is kept open is dropped; where certainly nothing was written each is tried once more, alone and prepared behind
 * the lock, so that one command that fails does not take the others with it.
 */
function failBatch(actor: CommandActor, waiting: Pending[], batch: readonly Pending[], error: unknown): void {
  const isRefusal = error instanceof Refusal
  // A database that went away may have written the batch, or come back without what it had written before.
  if (!isRefusal || isAway(error)) actor.snapshots.drop(actor.distributorId)
  const again = !isRefusal && leftNothing(error) && !batch.some(({ alone }) => alone)
  if (again) {
    for (const each of batch) each.alone = true
    waiting.unshift(...batch)
    return
  }
  for (const each of batch) {
    each.refused(error instanceof CommandFailed ? error.cause : error)
    each.settle()
  }
}

/** Whether a batch that failed so has certainly written nothing. Where the commit fails, as when the connection breaks, it may have. */
function leftNothing(error: unknown): boolean {
  return (
    error instanceof CommandFailed || (error instanceof Prisma.PrismaClientKnownRequestError && error.code === 'P2010')
  )
}
