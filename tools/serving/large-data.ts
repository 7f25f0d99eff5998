// The large data set in a database: 5,000 open lines with the planner's first plan in force, and a key of its own.
import { largeScenario } from '../../seeds/large.ts'
import { systemClock, todayIn } from '../../src/clock.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import { inWholeMillilitres } from '../../src/floor/container-volumes.ts'
import { makePlan } from '../../src/planner/index.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import type { Scenario } from '../../src/records/scenario.ts'
import { makeDemoKeys } from '../../src/resolvers/access/demo-keys.ts'

/** The id of the distributor. */
export const LARGE_ID = 'large'

/** The data set of this day with its first plan, which takes some seconds. */
export function plannedLargeScenario(): Scenario {
  const scenario = largeScenario(todayIn(systemClock, 'Europe/London'))
  // Planned as the rows give the problem to the planner.
  const containerTypes = scenario.problem.containerTypes.map(inWholeMillilitres)
  const { plan } = makePlan({ ...scenario.problem, containerTypes }, { steps: 0 })
  return { ...scenario, problem: { ...scenario.problem, baseline: plan } }
}

/** Writes it and answers the keys of its users. */
export async function saveLarge(client: PrismaClient, scenario: Scenario): Promise<{ sales: string; floor: string }> {
  const keys = await client.$transaction(
    async (tx) => {
      await saveSetup(tx, LARGE_ID, scenario, systemClock.now())
      return makeDemoKeys(tx, LARGE_ID, systemClock.now())
    },
    { timeout: 300_000 },
  )
  return keys
}
