// Plans the scenarios of a comparison whose row is there, one job after the other, so that drafts of others come between and
// what is planned can be seen at once, and is kept when a process ends. The last job looks at each plan in the light of the others.
import { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import { enqueue } from '../../jobs/enqueue.ts'
import {
  type Attempt,
  type JobKind,
  type JobSubject,
  jobKind,
  LeaseLost,
  type WriteResult,
} from '../../jobs/job-kind.ts'
import { applyChanges, type Problem } from '../../planner/documents/index.ts'
import { FaultyProblem } from '../../solver/make-plan-on-thread.ts'
import type { PlanProgress } from '../../solver/progress.ts'
import { sharePlans } from '../../solver/share-plans.ts'
import { secondsOf } from './effort.ts'
import { failureWords, faultWords } from './failure-words.ts'
import type { PlannerServices } from './planner-services.ts'
import { ProgressNotes } from './progress-notes.ts'
import { outcomeOf, readScenarios, type Scenario } from './scenarios.ts'
import { storedBound, storedChange, storedEffort, storedPlan, storedProblem } from './stored-problem.ts'

/** About how long it takes to look at each plan in the light of the others. */
const SHARING_SECONDS = 1

const payload = z.strictObject({
  /** The records as they were when the comparison was asked for. */
  problem: storedProblem,
  /** What each scenario changes: in order, nothing for the first. */
  changes: z.array(z.array(storedChange)),
  /** Of each scenario. */
  effort: storedEffort,
  /** What is planned so far; scenarios that cannot be planned are not among them. */
  planned: z.array(z.strictObject({ at: z.int(), plan: storedPlan, bound: storedBound.optional() })),
  /** The scenario whose turn it is; their number once all are planned. */
  at: z.int(),
})

type Payload = z.infer<typeof payload>

/** Its key is the id of the comparison, whose row becomes `READY`, or `FAILED` and says why. */
export const PLAN_SCENARIOS: JobKind<Payload, PlannerServices> = jobKind({
  name: 'PLAN_SCENARIOS',
  lane: 'PLANNING',
  payload,
  run: (attempt, given, services: PlannerServices) =>
    given.at < given.changes.length ? planOne(attempt, given, services) : share(attempt, given, services),
  failed: async (tx, subject, failure, { clock }) => {
    const data = { status: 'FAILED', failure: failureWords(failure, 'Compare again'), solvedAt: clock.now() } as const
    await tx.comparison.updateMany({ where: solving(subject), data })
  },
})

/** About how long the next job of a comparison takes, in seconds. */
export function secondsOfScenario({ at, changes, effort }: Pick<Payload, 'at' | 'changes' | 'effort'>): number {
  return at < changes.length ? secondsOf(effort) : SHARING_SECONDS
}

/** Plans the scenario whose turn it is, and enqueues the next. */
async function planOne(
  attempt: Attempt,
  given: Payload,
  { clock, plan, onFault }: PlannerServices,
): Promise<WriteResult> {
  const { distributorId, key, signal } = attempt
  const { at, effort } = given
  const problem = problemAt(given, at)
  const notes = new ProgressNotes<PlanProgress>(
    (progress) => attempt.note((tx) => tx.comparison.updateMany({ where: solving(attempt), data: { progress } })),
    (error) => onFault(error, key),
  )
  const solved = await plan(problem, effort, { signal, onProgress: (progress) => notes.take(progress) })
    .catch((error: unknown) => {
      if (error instanceof FaultyProblem) return error
      throw error
    })
    .finally(() => notes.done())
  const isFaulty = solved instanceof FaultyProblem
  if (!isFaulty && solved.boundFault !== undefined) onFault(solved.boundFault, key)
  const result: Partial<Scenario> = isFaulty
    ? { failure: `It cannot be planned: ${faultWords(solved.faults)}` }
    : { outcome: outcomeOf(problem, solved.plan, solved.bound) }
  const planned = isFaulty ? given.planned : [...given.planned, { at, plan: solved.plan, bound: solved.bound }]
  const next = { ...given, planned, at: at + 1 }
  return async (tx) => {
    const scenarios = await scenariosOf(tx, attempt)
    const changed = scenarios.map((each, index) => (index === at ? { ...each, ...result } : each))
    await tx.comparison.updateMany({ where: solving(attempt), data: { scenarios: changed } })
    await enqueue({ tx, clock }, distributorId, PLAN_SCENARIOS, next, { key, seconds: secondsOfScenario(next) })
  }
}

/** Lets scenarios take over plans of others that suit them better. */
async function share(attempt: Attempt, given: Payload, { clock }: PlannerServices): Promise<WriteResult> {
  const planned = given.planned.map((each) => ({ ...each, problem: problemAt(given, each.at) }))
  const shared = await sharePlans(planned, attempt.signal)
  const outcomes = new Map(
    planned.flatMap(({ at, problem, bound }, index) => {
      const plan = shared[index]
      return plan ? [[at, outcomeOf(problem, plan, bound)] as const] : []
    }),
  )
  return async (tx) => {
    const scenarios = (await scenariosOf(tx, attempt)).map((each, at) => ({
      ...each,
      outcome: outcomes.get(at) ?? each.outcome,
    }))
    const data = { scenarios, status: 'READY', solvedAt: clock.now() } as const
    await tx.comparison.updateMany({ where: solving(attempt), data })
  }
}

function problemAt({ problem, changes }: Payload, at: number): Problem {
  return applyChanges(problem, changes[at] ?? [])
}

/** The scenarios as the row has them. */
async function scenariosOf(tx: TransactionClient, subject: JobSubject): Promise<Scenario[]> {
  const row = await tx.comparison.findFirst({ where: solving(subject), select: { scenarios: true } })
  if (!row) throw new LeaseLost()
  return readScenarios(row.scenarios)
}

function solving({ distributorId, key }: JobSubject) {
  return { distributorId, id: key, status: 'SOLVING' } as const
}
