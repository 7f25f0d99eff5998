// Lines that are ordered or reserved are written under the distributor's lock, in turns. Who only places new lines need not
// wait for a turn of its own: all who do so and wait are placed one after the other in one transaction.
import { setImmediate as letIn } from 'node:timers/promises'
import type { Committed } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import type { Snapshots } from '../../records/snapshots.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { LinesWritten, OrderWriting } from './order-writing.ts'
import { faultOf, leftNothing, type Member, type Outcome, writeTurn } from './write-turn.ts'

/** How something is written. */
export interface Manner {
  /** Nothing is to come of it: everything is as it was, and the answer is what would have become of it. */
  dryRun?: boolean
  /** The work writes only by `atEnd`, so that others can be placed with it in one transaction. */
  together?: boolean
}

/**
 * Runs `work`, which writes rows of lines that are ordered or reserved and logs what it did; writes the plan in force after
 * it. Reservations that have run out are swept out before. The snapshot in memory follows once all is committed, and only
 * then is anything answered. `work` may be run again, from records as they are then.
 */
export async function writeLines<Result extends LinesWritten>(
  actor: PlanningActor,
  { dryRun = false, together = false }: Manner,
  work: (writing: OrderWriting) => Promise<Result>,
): Promise<Committed<Result>> {
  let result: Result | undefined
  const member: Member = {
    dryRun,
    work: async (writing) => {
      result = await work(writing)
      return result
    },
  }
  const outcome = await (together ? placedTogether(actor, member) : writtenAlone(actor, member))
  if ('error' in outcome) throw outcome.error
  if (!result) throw new Error('lines were written without a result')
  return { result, revision: outcome.revision }
}

async function writtenAlone(actor: PlanningActor, member: Member): Promise<Outcome> {
  try {
    const [outcome] = await writeTurn(actor, () => [member])
    if (!outcome) throw new Error('a turn had no outcome')
    return outcome
  } catch (error) {
    return failed(error)
  }
}

function failed(error: unknown): Outcome {
  const fault = faultOf(error)
  return { error: refusedByDatabase(fault) ?? fault }
}

/** Most who are placed in one transaction: the lock is held for some tens of milliseconds. */
const MOST_TOGETHER = 16

interface Waiting {
  member: Member
  settle: (outcome: Outcome | Promise<Outcome>) => void
}

/** Those who wait to be placed, for each program and distributor. */
const queues = new WeakMap<Snapshots, Map<string, Waiting[]>>()

function placedTogether(actor: PlanningActor, member: Member): Promise<Outcome> {
  const { snapshots, distributorId } = actor
  const byDistributor = queues.get(snapshots) ?? new Map<string, Waiting[]>()
  queues.set(snapshots, byDistributor)
  const queue = byDistributor.get(distributorId) ?? []
  byDistributor.set(distributorId, queue)
  return new Promise((settle) => {
    queue.push({ member, settle })
    if (queue.length === 1) void takeTurn(actor, queue)
  })
}

/** Places those who wait when the turn comes. Where one of them spoils it for all, each then tries alone. */
async function takeTurn(actor: PlanningActor, queue: Waiting[]): Promise<void> {
  let taken: Waiting[] | undefined
  const take = () => {
    if (!taken) {
      taken = queue.splice(0, MOST_TOGETHER)
      if (queue.length > 0) void takeTurn(actor, queue)
    }
    return taken.map(({ member }) => member)
  }
  // The embedded database never makes anyone wait for the outside: those who have asked meanwhile must be let in on purpose.
  await letIn()
  try {
    const outcomes = await writeTurn(actor, take)
    for (const [index, { settle }] of (taken ?? []).entries())
      settle(outcomes[index] ?? { error: new Error('a turn had no outcome') })
  } catch (error) {
    take()
    const again = (taken?.length ?? 0) > 1 && leftNothing(error)
    for (const { member, settle } of taken ?? []) settle(again ? writtenAlone(actor, member) : failed(error))
  }
}
