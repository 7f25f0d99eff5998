// A better plan at hand: after facts, and each night, a plan is looked for that costs less than the plan in force. It moves nothing
// that people have made ready for, and waits as a draft, or comes into force by itself, as the distributor has set.
import { randomUUID } from 'node:crypto'
import { isDeepStrictEqual } from 'node:util'
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { stillHas } from '../../database/version.ts'
import { enqueue } from '../../jobs/enqueue.ts'
import { jobKind, LeaseLost } from '../../jobs/job-kind.ts'
import { addDays, dayNumber, type LocalDate, type Plan, type Problem } from '../../planner/documents/index.ts'
import { planCost } from '../../planner/index.ts'
import { loadProblem } from '../../records/load-problem.ts'
import { saveSolved } from '../../records/save-plan.ts'
import { ADOPT_BETTER } from './adopt-better.ts'
import { beginPlan } from './begin-plan.ts'
import { newlyBroken } from './broken-promises.ts'
import { comparePlans } from './compare-plans.ts'
import { asJobFailure } from './failure-words.ts'
import type { PlannerServices } from './planner-services.ts'
import { storedEffort } from './stored-problem.ts'

/** Seconds after the first fact of several until a better plan is looked for: one search for all of them. */
const SECONDS_AFTER_FACTS = 60

/** No two searches of a distributor wait under this key. */
const KEY = 'after facts'

/** Plans that were found and may still come into force. */
export const AT_HAND = { status: 'DRAFT', saves: { not: null } } satisfies Prisma.PlanWhereInput

const payload = z.strictObject({ effort: storedEffort.default({ seed: 1, seconds: 5 }) })

/** Looks for a better plan than the plan in force. */
export const FIND_BETTER = jobKind<z.infer<typeof payload>, PlannerServices>({
  name: 'FIND_BETTER',
  lane: 'PLANNING',
  payload,
  daily: '01:30',
  run: async ({ distributorId, signal }, { effort }, services) => {
    const { client, clock, plan } = services
    const { betterPlans, betterPlanSaving, timeZone, frozenDays } = await client.distributor.findUniqueOrThrow({
      where: { id: distributorId },
    })
    if (betterPlans === 'NEVER') return undefined
    const today = todayIn(clock, timeZone)
    const at = clock.now()
    const loaded = await client.$transaction((tx) => loadProblem(tx, distributorId, { today, at }), {
      isolationLevel: 'RepeatableRead',
    })
    const { baseline } = loaded.problem
    if (!baseline) return undefined
    const problem = { ...loaded.problem, frozenDays: Math.max(frozenDays, untouchedDays(baseline, today)) }
    const solved = await plan(problem, effort, { signal }).catch((error: unknown) => {
      throw asJobFailure(error)
    })
    const cost = planCost(problem, baseline).total
    const saves = cost - solved.plan.cost.total
    if (saves <= betterPlanSaving * cost) return (tx) => discardOlder(tx, distributorId)
    const adopts = betterPlans === 'ADOPTED' && leavesWorkAlone(problem, baseline, solved.plan)
    return async (tx) => {
      // Records that were lost meanwhile: it is no plan of those that are there.
      if (!(await stillHas(tx, distributorId, loaded))) throw new LeaseLost()
      await discardOlder(tx, distributorId)
      const id = randomUUID()
      await beginPlan(tx, distributorId, { ...loaded, problem }, { id, saves, seed: effort.seed, createdAt: at })
      await saveSolved(tx, distributorId, id, solved)
      await tx.plan.update({
        where: { distributorId_id: { distributorId, id } },
        data: { status: 'DRAFT', solvedAt: clock.now() },
      })
      if (adopts) await enqueue({ tx, clock }, distributorId, ADOPT_BETTER, {}, { key: id })
    }
  },
})

/** Asks for a better plan within the transaction that records facts; one that waits already sees these too. */
export async function lookForBetter(
  services: Pick<PlannerServices, 'clock'> & { tx: TransactionClient },
  distributorId: string,
): Promise<void> {
  const { effort } = payload.parse({})
  const runAfter = new Date(services.clock.now().getTime() + SECONDS_AFTER_FACTS * 1000)
  await enqueue(services, distributorId, FIND_BETTER, { effort }, { key: KEY, runAfter, seconds: effort.seconds ?? 0 })
}

/** Days from today to the end of the next day on which something is filled: people have made ready for them. */
export function untouchedDays({ fillRuns }: Plan, today: LocalDate): number {
  const [next = addDays(today, 1)] = fillRuns
    .map(({ on }) => on)
    .filter((on) => on > today)
    .sort()
  return dayNumber(next) - dayNumber(today) + 1
}

/** Whether it breaks no promise, and neither moves anything of the frozen days nor sends other containers on them. */
export function leavesWorkAlone(problem: Problem, inForce: Plan, better: Plan): boolean {
  if (newlyBroken(problem, inForce, better).length > 0) return false
  const thawed = addDays(problem.today, problem.frozenDays)
  const { added, moved, dropped } = comparePlans(better, inForce)
  const stays = [...added, ...moved, ...dropped].every(({ before, after }) =>
    [before, after].every((decision) => decision === null || decision.on >= thawed),
  )
  // F1 leaves deliveries free: what is picked for a van is work all the same.
  return stays && isDeepStrictEqual(loadedBefore(better, thawed), loadedBefore(inForce, thawed))
}

/** What leaves before a day, whatever the order in which a plan lists it. */
function loadedBefore({ deliveries }: Plan, day: LocalDate) {
  return new Set(
    deliveries
      .filter(({ dispatchOn }) => dispatchOn < day)
      .map((delivery) => ({ ...delivery, from: new Set(delivery.from) })),
  )
}

/** A better plan that was found before this one is offered no more. */
async function discardOlder(tx: TransactionClient, distributorId: string): Promise<void> {
  await tx.plan.updateMany({ where: { distributorId, ...AT_HAND }, data: { status: 'DISCARDED' } })
}
