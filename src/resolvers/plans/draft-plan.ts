// A plan beside the plan in force: asked for here, answered at once, solved by a job.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import type { TransactionClient } from '../../database/client.ts'
import type { Locked } from '../../database/distributor-lock.ts'
import { inTransaction } from '../../database/transaction.ts'
import { issue } from '../../errors.ts'
import { enqueue } from '../../jobs/enqueue.ts'
import { applyChanges, costsShape, problemShape } from '../../planner/documents/index.ts'
import { type LoadedProblem, loadProblem } from '../../records/load-problem.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import { References } from '../thing-ref.ts'
import type { Written } from '../written.ts'
import { beginPlan } from './begin-plan.ts'
import { effortUpTo, MOST_SECONDS, MOST_STEPS, secondsOf, seedShape } from './effort.ts'
import { SOLVE_DRAFT } from './solve-draft.ts'
import { tooMany } from './unfinished.ts'
import { findWithout, withoutListShape } from './without.ts'

const shape = z.strictObject({
  effort: effortUpTo(MOST_SECONDS, MOST_STEPS),
  seed: seedShape,
  costs: costsShape.partial().optional(),
  frozenDays: problemShape.shape.frozenDays.unwrap().optional(),
  without: withoutListShape,
})

/**
 * Starts a draft from the records as they are now, with the plan in force as its baseline (F1), without what the caller
 * leaves out. Answers its id at once; its row has the status `SOLVING` until it is a `DRAFT`, or `FAILED`. The revision
 * stays. Throws `InvalidInput`, and `Conflict` where too much is being solved already.
 */
export async function draftPlan(actor: PlanningActor, input: unknown): Promise<Written> {
  const reading = readInput(shape, input)
  const { given } = reading
  const { effort, seed, costs, frozenDays } = given
  const { client, clock, distributorId, jobs } = actor
  const once = actor.once?.take()
  const first = once?.first<string>()
  if (first) return { id: first.result, revision: first.revision }
  const drafting = inTransaction(
    client,
    async (tx) => {
      await once?.find(tx)
      const { timeZone } = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
      const today = todayIn(clock, timeZone)
      const loaded = await loadProblem(tx, distributorId, { today, at: clock.now(), frozenDays, costs })
      const refs = new References(tx, distributorId)
      refs.take(reading)
      refs.refuse('', await tooMany(tx, distributorId))
      const { horizonDays } = loaded.problem
      if (frozenDays !== undefined && frozenDays > horizonDays)
        refs.note(issue('frozenDays', 'OUT_OF_RANGE', `plans reach ${horizonDays} days: it can be at most that`))
      const without = await findWithout(refs, given.without, loaded.problem)
      refs.settle()
      const id = await begin(actor, tx, loaded, { effort, seed, without })
      await once?.note(tx, { result: id, revision: loaded.revision })
      return { id, revision: loaded.revision }
    },
    'RepeatableRead',
  )
  const { id, revision } = await (once?.watch(drafting) ?? drafting)
  jobs.wake()
  return { id, revision }
}

/** How a draft is to be made. */
type HowDrafted = Pick<z.output<typeof shape>, 'effort' | 'seed'>

/**
 * Begins a draft within the transaction of a writer who holds the lock and has changed the records: it is made of the revision that
 * this makes. Answers its id; the caller wakes the jobs once it is committed.
 */
export async function beginDraft(
  actor: PlanningActor,
  { tx, revision, timeZone }: Pick<Locked, 'tx' | 'revision' | 'timeZone'>,
  how: HowDrafted,
): Promise<string> {
  const { clock, distributorId } = actor
  const loaded = await loadProblem(tx, distributorId, { today: todayIn(clock, timeZone), at: clock.now() })
  return begin(actor, tx, { ...loaded, revision: revision + 1 }, { ...how, without: [] })
}

/** Writes the row of a draft and the job that solves it. */
async function begin(
  { clock, distributorId }: PlanningActor,
  tx: TransactionClient,
  loaded: LoadedProblem,
  { effort, seed, without }: HowDrafted & { without: Awaited<ReturnType<typeof findWithout>> },
): Promise<string> {
  const id = randomUUID()
  await beginPlan(tx, distributorId, loaded, { id, seed, without, createdAt: clock.now() })
  const payload = { problem: applyChanges(loaded.problem, without), effort: { seed, ...effort } }
  await enqueue({ tx, clock }, distributorId, SOLVE_DRAFT, payload, { key: id, seconds: secondsOf(effort) })
  return id
}
