// Looks for a new plan that serves a question of sales on the wanted days and no other line later: a job, on a thread of its own.
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import type { Prisma } from '../../database/client.ts'
import { stillHas } from '../../database/version.ts'
import { type JobSubject, jobKind, LeaseLost } from '../../jobs/job-kind.ts'
import { deliveredByLine, type OrderLine, type Plan, type Problem } from '../../planner/documents/index.ts'
import { carryForward, planCost, type TrialAnswer } from '../../planner/index.ts'
import { loadProblem } from '../../records/load-problem.ts'
import type { BoundedPlan } from '../../solver/plan-with-bound.ts'
import { bringUp } from '../plans/bring-up.ts'
import { comparePlans } from '../plans/compare-plans.ts'
import { asJobFailure, failureWords } from '../plans/failure-words.ts'
import { harmOf } from '../plans/harm-of-plan.ts'
import type { PlannerServices } from '../plans/planner-services.ts'
import { storedEffort } from '../plans/stored-problem.ts'
import { newPlanProblem, untouchable } from './new-plan-problem.ts'
import { askedOf, onceEach, resultOf, type SearchResult, searchRow } from './new-plan-rows.ts'

const payload = z.strictObject({ effort: storedEffort })

/** Nothing has changed since the records were read. */
const UNTOUCHED = { orderIds: new Set<string>(), gaveWay: new Set<string>() }

/** Its key is the id of the search, whose row becomes `FOUND`, `NONE`, or `FAILED` and says why. */
export const SEARCH_NEW_PLAN = jobKind<z.infer<typeof payload>, PlannerServices>({
  name: 'SEARCH_NEW_PLAN',
  lane: 'PLANNING',
  payload,
  run: async (attempt, { effort }, { client, clock, plan }) => {
    const { distributorId, key, signal } = attempt
    const row = await searchRow(client, distributorId, key)
    if (!row || resultOf(row)) return undefined
    const asked = askedOf(row)
    const { timeZone } = await client.distributor.findUniqueOrThrow({ where: { id: distributorId } })
    const [today, at] = [todayIn(clock, timeZone), clock.now()]
    const { problem, ...read } = await client.$transaction((tx) => loadProblem(tx, distributorId, { today, at }), {
      isolationLevel: 'RepeatableRead',
    })
    const inForce = problem.baseline && carryForward(problem, problem.baseline).plan
    const question = inForce && newPlanProblem(problem, inForce, asked)
    const solved =
      question &&
      (await plan(question.problem, effort, { signal, boundSeconds: 0 }).catch((error: unknown) => {
        throw asJobFailure(error)
      }))
    const result: SearchResult =
      inForce && solved
        ? resultOfSearch({ ...problem, frozenDays: untouchable(problem) }, inForce, asked, {
            ...{ solved, seed: effort.seed },
            draft: { ...solved.plan, deliveries: [...question.leaving, ...solved.plan.deliveries] },
          })
        : { kind: 'NONE', reasons: [] }
    return async (tx) => {
      // Records that were lost meanwhile: what was found is of no use for those that are there.
      if (!(await stillHas(tx, distributorId, read))) throw new LeaseLost()
      const data: Prisma.NewPlanSearchUpdateManyMutationInput = {
        ...{ status: result.kind, fromRevision: read.revision, result, solvedAt: clock.now() },
      }
      const { count } = await tx.newPlanSearch.updateMany({ where: searching(attempt), data })
      if (count === 0) throw new LeaseLost()
    }
  },
  failed: async (tx, subject, failure, { clock }) => {
    const data = { status: 'FAILED', failure: failureWords(failure, 'Ask again'), solvedAt: clock.now() } as const
    await tx.newPlanSearch.updateMany({ where: searching(subject), data })
  },
})

function searching({ distributorId, key }: JobSubject) {
  return { distributorId, id: key, status: 'SEARCHING' } as const
}

interface Searched {
  solved: BoundedPlan
  seed: number
  /** What was found, with what leaves today. */
  draft: Plan
}

/** What was found, as a plan of the problem itself: a plan that serves all on the wanted days and harms no line, or why there is none. */
function resultOfSearch(
  problem: Problem,
  inForce: Plan,
  asked: readonly OrderLine[],
  { solved, seed, draft }: Searched,
): SearchResult {
  const served = deliveredByLine(draft.deliveries)
  const short = asked.filter(({ id, quantity }) => served.get(id)?.quantity !== quantity)
  const none: SearchResult = {
    kind: 'NONE',
    reasons: onceEach(
      solved.plan.unserved.flatMap(({ orderLineId, reasons }) =>
        short.some(({ id }) => id === orderLineId) ? reasons : [],
      ),
    ),
  }
  if (short.length > 0) return none
  const bound = asked.map((line) => ({ ...line, promisedOn: line.serveOn }))
  const grown = { ...problem, baseline: inForce, orderLines: [...problem.orderLines, ...bound] }
  const { plan, obstacles } = bringUp(grown, draft, UNTOUCHED)
  const harm = harmOf(grown, inForce, plan, new Set(asked.map(({ id }) => id)))
  if (obstacles.length > 0 || harm.length > 0) return none
  const { trial } = carryForward(grown, plan)
  const { moved, dropped, added } = comparePlans(plan, inForce)
  const changed = moved.filter(({ changed }) => changed.some((part) => part !== 'AMOUNT'))
  const known = new Set(inForce.brews.map((brew) => brew.id))
  const brewed = new Set(plan.brews.map((brew) => brew.id).filter((id) => !known.has(id)))
  return {
    ...{
      kind: 'FOUND',
      plan,
      seed,
      statistics: { steps: solved.statistics.steps, seconds: solved.statistics.seconds },
    },
    answers: asked.flatMap(({ id }) => newlyBrewed(trial.answer(id), brewed)),
    changed: changed.length + dropped.length,
    added: added.length,
    costDifference: plan.cost.total - planCost({ ...problem, baseline: inForce }, inForce).total,
  }
}

/** The answer, where beer comes from one of these brews as from a new one. */
function newlyBrewed(answer: TrialAnswer | undefined, brews: ReadonlySet<string>): TrialAnswer[] {
  if (!answer) return []
  const deliveries = answer.deliveries.map((delivery) => ({
    ...delivery,
    sources: delivery.sources.map(({ batchId, ...source }) =>
      batchId !== undefined && brews.has(batchId)
        ? { ...source, kind: 'NEW_BREW' as const }
        : { ...source, ...(batchId === undefined ? {} : { batchId }) },
    ),
  }))
  return [{ ...answer, deliveries }]
}
