// A plan beside the plan in force: asked for here, answered at once, solved on a thread of its own.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { dateOf } from '../../database/calendar-day.ts'
import { costsShape, DEFAULT_COSTS, problemShape } from '../../planner/problem.ts'
import { loadProblem } from '../../records/load-problem.ts'
import { parseInput } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { Written } from '../setup/noun.ts'
import { solveDraft } from './solve-draft.ts'

/** Longest search, in seconds. */
export const MOST_SECONDS = 300
/** Most steps of a search. */
export const MOST_STEPS = 1_000_000
/** Seconds of search where nothing else is asked. */
export const DEFAULT_SECONDS = 5

const seconds = z.number().min(0).max(MOST_SECONDS)
const steps = z.int().min(0).max(MOST_STEPS)

const shape = z.strictObject({
  effort: z
    .union([
      z.strictObject({ seconds, steps: z.undefined().optional() }),
      z.strictObject({ steps, seconds: z.undefined().optional() }),
    ])
    .default({ seconds: DEFAULT_SECONDS }),
  seed: z.int().min(0).max(2_147_483_647).default(1),
  costs: costsShape.partial().optional(),
  frozenDays: problemShape.shape.frozenDays,
})

/**
 * Starts a draft from the records as they are now, with the plan in force as its baseline (F1). Answers its id at once; its
 * row has the status `SOLVING` until it is a `DRAFT`, or `FAILED`. The revision stays. Throws `InvalidInput`.
 */
export async function draftPlan(actor: PlanningActor, input: unknown): Promise<Written> {
  const { effort, seed, costs, frozenDays } = parseInput(shape, input)
  const { client, clock, distributorId, drafts, onFault } = actor
  const id = randomUUID()
  const { problem, revision } = await client.$transaction(
    async (tx) => {
      const { timeZone } = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
      const today = todayIn(clock, timeZone)
      const loaded = await loadProblem(tx, distributorId, { today, at: clock.now(), frozenDays, costs })
      await tx.plan.create({
        data: {
          distributorId,
          id,
          status: 'SOLVING',
          fromRevision: loaded.revision,
          baselineId: loaded.baselineId ?? null,
          today: dateOf(today),
          horizonDays: loaded.problem.horizonDays,
          frozenDays: loaded.problem.frozenDays ?? 0,
          costs: { ...DEFAULT_COSTS, ...loaded.problem.costs },
          seed,
          createdAt: clock.now(),
        },
      })
      return loaded
    },
    { isolationLevel: 'RepeatableRead' },
  )
  const task = { client, clock, distributorId, planId: id, problem, effort: { seed, ...effort }, onFault }
  drafts.begin(
    () => solveDraft(task, drafts),
    (error) => onFault(error, id),
  )
  return { id, revision }
}
