// Plans the scenarios of a comparison whose row is there, one after the other and each in its turn, so that drafts of
// others come between. What is planned can be seen at once.
import type { Clock } from '../../clock.ts'
import type { PrismaClient } from '../../database/client.ts'
import type { Problem } from '../../planner/documents/index.ts'
import { FaultyProblem } from '../../solver/make-plan-on-thread.ts'
import type { PlanProgress } from '../../solver/progress.ts'
import type { PlanEffort } from '../../solver/search-here.ts'
import { type Planned, sharePlans } from '../../solver/share-plans.ts'
import type { Drafts } from './drafts.ts'
import { secondsOf } from './effort.ts'
import { ProgressNotes } from './progress-notes.ts'
import { outcomeOf, type Scenario } from './scenarios.ts'
import { failureOf, faultWords, isOurs } from './solve-draft.ts'

/** About how long it takes to look at each plan in the light of the others. */
const SHARING_SECONDS = 1

export interface ComparisonTask {
  client: PrismaClient
  clock: Clock
  distributorId: string
  id: string
  /** In order, the records as they are first. */
  scenarios: Scenario[]
  /** One for each scenario. */
  problems: Problem[]
  /** Of each scenario. */
  effort: PlanEffort
  /** Gets faults of ours. */
  onFault: (error: unknown, id: string) => void
}

/** Plans them; the row becomes `READY`, or `FAILED` and says why. */
export async function solveComparison(task: ComparisonTask, drafts: Drafts): Promise<void> {
  const { client, clock, distributorId, id } = task
  const onFault = (error: unknown) => task.onFault(error, id)
  const where = { distributorId, id, status: 'SOLVING' } as const
  const notes = new ProgressNotes<PlanProgress>(
    (progress) => client.comparison.updateMany({ where, data: { progress } }),
    onFault,
  )
  const write = async (scenarios: Scenario[]) => {
    await notes.done()
    await client.comparison.updateMany({ where, data: { scenarios } })
  }
  try {
    const scenarios = [...task.scenarios]
    const planned: (Planned & { at: number })[] = []
    for (const [at, problem] of task.problems.entries()) {
      const scenario = scenarios[at]
      if (!scenario) throw new Error('each problem has a scenario')
      try {
        const { plan, bound, boundFault } = await drafts.turn({ seconds: secondsOf(task.effort) }, (signal) =>
          drafts.plan(problem, task.effort, { signal, onProgress: (progress) => notes.take(progress) }),
        )
        if (boundFault !== undefined) onFault(boundFault)
        planned.push({ at, problem, plan, bound })
        scenarios[at] = { ...scenario, outcome: outcomeOf(problem, plan, bound) }
      } catch (error) {
        if (!(error instanceof FaultyProblem)) throw error
        scenarios[at] = { ...scenario, failure: `It cannot be planned: ${faultWords(error.faults)}` }
      }
      await write(scenarios)
    }
    const shared = await drafts.turn({ seconds: SHARING_SECONDS }, (signal) => sharePlans(planned, signal))
    for (const [index, plan] of shared.entries()) {
      const { at, problem, bound } = planned[index] ?? {}
      const scenario = at === undefined ? undefined : scenarios[at]
      if (at !== undefined && scenario && problem)
        scenarios[at] = { ...scenario, outcome: outcomeOf(problem, plan, bound) }
    }
    await write(scenarios)
    await client.comparison.updateMany({ where, data: { status: 'READY', solvedAt: clock.now() } })
  } catch (error) {
    await notes.done()
    const failure = { message: failureOf(error, 'Compare again') }
    await client.comparison.updateMany({ where, data: { status: 'FAILED', failure, solvedAt: clock.now() } })
    if (isOurs(error)) onFault(error)
  }
}
