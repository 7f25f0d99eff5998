// What if: scenarios are planned beside the plan in force, which stays as it is; cost and service stand side by side.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { dateOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { inTransaction } from '../../database/transaction.ts'
import { enqueue } from '../../jobs/enqueue.ts'
import { loadProblem } from '../../records/load-problem.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import { name } from '../setup/shapes.ts'
import { References } from '../thing-ref.ts'
import type { Written } from '../written.ts'
import { effortUpTo, seedShape } from './effort.ts'
import { NamesOf } from './names.ts'
import { PLAN_SCENARIOS, secondsOfScenario } from './plan-scenarios.ts'
import type { Scenario } from './scenarios.ts'
import { tooMany } from './unfinished.ts'
import { changeShape, type FoundChange, findChange } from './what-if-changes.ts'

/** Most scenarios of one comparison, beside the records as they are. */
export const MOST_SCENARIOS = 8
/** Most changes of one scenario. */
export const MOST_CHANGES = 20
/** Longest search for one scenario, in seconds. */
export const MOST_SCENARIO_SECONDS = 60
/** Most steps of a search for one scenario. */
export const MOST_SCENARIO_STEPS = 200_000
/** Comparisons that are kept; of more the oldest go. */
export const MOST_KEPT = 100

/** What the records as they are are called among the scenarios. */
const AS_IT_IS = 'As it is'

const shape = z.strictObject({
  scenarios: z
    .array(z.strictObject({ name, changes: z.array(changeShape).min(1).max(MOST_CHANGES) }))
    .min(1)
    .max(MOST_SCENARIOS),
  effort: effortUpTo(MOST_SCENARIO_SECONDS, MOST_SCENARIO_STEPS),
  seed: seedShape,
})

/**
 * Starts a comparison of scenarios with the records as they are now, each planned with the same effort and the plan in force
 * as baseline. Answers its id at once; its row has the status `SOLVING` until it is `READY`, or `FAILED`. The revision and
 * the plan in force stay. Throws `InvalidInput`, and `Conflict` where too much is being solved already.
 */
export async function compare(actor: PlanningActor, input: unknown): Promise<Written> {
  const reading = readInput(shape, input)
  const { scenarios: asked, effort, seed } = reading.given
  const { client, clock, distributorId, jobs } = actor
  const once = actor.once?.take()
  const first = once?.first<string>()
  if (first) return { id: first.result, revision: first.revision }
  const id = randomUUID()
  const comparing = inTransaction(
    client,
    async (tx) => {
      await once?.find(tx)
      const { timeZone } = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
      const today = todayIn(clock, timeZone)
      const now = clock.now()
      const { problem, revision } = await loadProblem(tx, distributorId, { today, at: now })
      const refs = new References(tx, distributorId)
      refs.take(reading)
      refs.refuse('', await tooMany(tx, distributorId))
      const names = new NamesOf(tx, distributorId)
      const found: FoundChange[][] = []
      for (const [at, { changes }] of asked.entries()) {
        const ofScenario: FoundChange[] = []
        for (const [index, change] of changes.entries())
          ofScenario.push(await findChange(refs, names, change, { problem, now }, `scenarios[${at}].changes[${index}]`))
        found.push(ofScenario)
      }
      refs.settle()
      const open = { outcome: null, failure: null }
      const scenarios: Scenario[] = [
        { name: AS_IT_IS, changes: [], ...open },
        ...asked.map((each, at) => ({
          name: each.name,
          changes: (found[at] ?? []).map(({ words }) => words),
          ...open,
        })),
      ]
      await forgetOldest(tx, distributorId)
      await tx.comparison.create({
        data: {
          ...{ distributorId, id, status: 'SOLVING', fromRevision: revision, scenarios },
          today: dateOf(today),
          createdAt: clock.now(),
        },
      })
      const changes = [[], ...found.map((list) => list.map(({ change }) => change))]
      const payload = { problem, changes, effort: { seed, ...effort }, planned: [], at: 0 }
      const options = { key: id, seconds: secondsOfScenario(payload) }
      await enqueue({ tx, clock }, distributorId, PLAN_SCENARIOS, payload, options)
      await once?.note(tx, { result: id, revision })
      return { revision }
    },
    'RepeatableRead',
  )
  const { revision } = await (once?.watch(comparing) ?? comparing)
  jobs.wake()
  return { id, revision }
}

/** Makes room for one more. */
async function forgetOldest(tx: TransactionClient, distributorId: string): Promise<void> {
  const old = await tx.comparison.findMany({
    where: { distributorId, status: { not: 'SOLVING' } },
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
    skip: MOST_KEPT - 1,
    select: { id: true },
  })
  if (old.length > 0) await tx.comparison.deleteMany({ where: { distributorId, id: { in: old.map(({ id }) => id) } } })
}
