// The demo distributor with a plan in force, for tests of what happens in a plan.
import { expect } from 'vitest'
import { demoScenario } from '../../seeds/demo.ts'
import { todayIn } from '../../src/clock.ts'
import type { Version } from '../../src/database/version.ts'
import { inWholeMillilitres } from '../../src/floor/container-volumes.ts'
import type { Plan, Problem } from '../../src/planner/documents/index.ts'
import { checkPlan, makePlan, parseProblem } from '../../src/planner/index.ts'
import { loadProblem } from '../../src/records/load-problem.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import type { Scenario } from '../../src/records/scenario.ts'
import { Snapshots } from '../../src/records/snapshots.ts'
import { CommandExecutor } from '../../src/resolvers/commands/executor.ts'
import type { PlanningActor } from '../../src/resolvers/planning-actor.ts'
import { openTestDatabase } from './database.ts'
import { testJobs } from './jobs.ts'
import { KeptRows } from './kept-rows.ts'

export const DEMO_ID = 'demo'

const plans = new Map<string, Plan>()

/** The demo of a day with a plan as its baseline; the plan is made once for each day. */
export function plannedScenario(today: string): Scenario {
  const scenario = demoScenario(today)
  let baseline = plans.get(today)
  if (!baseline) {
    // Planned as the rows give the problem to the planner.
    const containerTypes = scenario.problem.containerTypes.map(inWholeMillilitres)
    baseline = makePlan({ ...scenario.problem, containerTypes }, { steps: 60 }).plan
    plans.set(today, baseline)
  }
  return { ...scenario, problem: { ...scenario.problem, baseline } }
}

/** A fresh database with the demo, a plan of it in force, and someone who acts there. */
export function openPlannedDemo() {
  return openPlanned(plannedScenario, { kept: demoRows })
}

/** The same with a brewery of a test's own, at nine in the morning (UTC) of its today; with a plan of its own where one is given. Everything is called by its id. */
export function openPlannedBrewery(problem: Problem, plan?: Plan) {
  const baseline = plan ?? makePlan(problem, { steps: 60 }).plan
  const distributor = { name: 'Brewery', timeZone: problem.sites[0]?.timeZone ?? 'UTC' }
  return openPlanned(() => ({ distributor, problem: { ...problem, baseline }, names: {} }), { on: problem.today })
}

/** What a worker keeps of the demo. */
const demoRows = new KeptRows<string | undefined>()

async function openPlanned(
  scenarioOf: (today: string) => Scenario,
  { on, kept = new KeptRows() }: { on?: string; kept?: KeptRows<string | undefined> },
) {
  const database = await openTestDatabase()
  const { client, clock } = database
  if (on !== undefined) clock.set(`${on}T09:00:00Z`)
  const scenario = scenarioOf(todayIn(clock, 'Europe/London'))
  await kept.write(database.pool, clock.now().toISOString(), DEMO_ID, () =>
    client.$transaction((tx) => saveSetup(tx, DEMO_ID, scenario, clock.now())),
  )
  const faults: unknown[] = []
  const services = { client, clock, onFault: (error: unknown) => faults.push(error) }
  const actor: PlanningActor = {
    ...services,
    distributorId: DEMO_ID,
    snapshots: new Snapshots(),
    executor: new CommandExecutor(),
    jobs: testJobs(services),
  }

  /** The problem as the records have it, with the plan in force as its baseline. */
  const stored = async (): Promise<Version & { problem: Problem; plan: Plan }> => {
    const today = todayIn(clock, scenario.distributor.timeZone)
    const { problem, revision, epoch } = await client.$transaction((tx) =>
      loadProblem(tx, DEMO_ID, { today, at: clock.now() }),
    )
    const { baseline } = problem
    if (!baseline) throw new Error('no plan is in force')
    return { problem, plan: baseline, revision, epoch }
  }

  /**
   * Holds the records to the rules: the problem parses, and the plan in force passes the checker. Its stated cost is not
   * looked at: an adopted plan was judged by its own prices, and its churn against the plan before it.
   */
  const expectValid = async () => {
    const { problem, plan, ...version } = await stored()
    expect(parseProblem(JSON.parse(JSON.stringify(problem)))).toMatchObject({ ok: true })
    expect(checkPlan(problem, plan).violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
    return { problem, plan, ...version }
  }

  return { ...database, actor, faults, scenario, stored, expectValid }
}
