// The API over a fresh test database that holds the demo distributor: requests go through `app.fetch`, no port is opened.
import { expect } from 'vitest'
import { z } from 'zod'
import { demoScenario } from '../../seeds/demo.ts'
import { createApp } from '../../src/app.ts'
import { todayIn } from '../../src/clock.ts'
import type { LocalDate } from '../../src/planner/documents/index.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import type { Scenario } from '../../src/records/scenario.ts'
import { type DemoUser, makeDemoKeys } from '../../src/resolvers/access/demo-keys.ts'
import type { TurnLimits } from '../../src/resolvers/planner-turns.ts'
import { openTestDatabase } from './database.ts'
import { testJobs } from './jobs.ts'
import { KeptRows } from './kept-rows.ts'
import { plannedScenario } from './planned-demo.ts'

export const DEMO_ID = 'demo'

const answer = z.object({
  data: z.record(z.string(), z.unknown()).nullish(),
  errors: z
    .array(
      z.object({
        message: z.string(),
        path: z.array(z.union([z.string(), z.number()])).optional(),
        extensions: z.record(z.string(), z.unknown()).optional(),
      }),
    )
    .optional(),
})

export type Answer = z.infer<typeof answer> & { status: number }

type Keys = Record<DemoUser, string>
type ScenarioOf = (today: LocalDate) => Scenario

/** What a worker keeps of each brewery that its tests begin with. */
const kept = new Map<ScenarioOf, KeptRows<Keys>>()

function keptFor(scenarioOf: ScenarioOf): KeptRows<Keys> {
  const known = kept.get(scenarioOf) ?? new KeptRows<Keys>()
  kept.set(scenarioOf, known)
  return known
}

/** Opens the API, with a plan in force where it is `planned`. Its clock stands at the test database's; `faults` collects what the server would log. */
export async function openTestApi({
  planned = false,
  waitingWriters,
  plannerTurns,
  scenarioOf = planned ? plannedScenario : demoScenario,
}: {
  planned?: boolean
  waitingWriters?: number
  plannerTurns?: TurnLimits
  /** Another brewery than the demo's, of a day. */
  scenarioOf?: ScenarioOf
} = {}) {
  const database = await openTestDatabase()
  const { client, clock } = database
  const today = todayIn(clock, 'Europe/London')
  const scenario = scenarioOf(today)
  const at = clock.now()
  const keys = await keptFor(scenarioOf).write(database.pool, at.toISOString(), DEMO_ID, () =>
    client.$transaction(async (tx) => {
      await saveSetup(tx, DEMO_ID, scenario, at)
      return makeDemoKeys(tx, DEMO_ID, at)
    }),
  )
  const faults: unknown[] = []
  const services = { client, clock, onFault: (error: unknown) => faults.push(error) }
  const jobs = testJobs(services)
  const app = createApp({ ...services, jobs, waitingWriters, plannerTurns, newPlanEffort: { steps: 100 } })

  /** Sends a query as a user of the demo, with another key, or without one (`null`). */
  const ask = async (
    query: string,
    variables: Record<string, unknown> = {},
    as: DemoUser | { key: string } | null = 'admin',
  ): Promise<Answer> => {
    const key = as === null ? undefined : typeof as === 'string' ? keys[as] : as.key
    const response = await app.fetch('http://test/graphql', {
      method: 'POST',
      headers: { 'content-type': 'application/json', ...(key === undefined ? {} : { authorization: `Bearer ${key}` }) },
      body: JSON.stringify({ query, variables }),
    })
    return { ...answer.parse(await response.json()), status: response.status }
  }

  /** The same, for a query that must succeed: answers its data. */
  const data = async (query: string, variables?: Record<string, unknown>, as?: DemoUser | { key: string }) => {
    const { data, errors } = await ask(query, variables, as)
    expect(errors).toBeUndefined()
    return data ?? {}
  }

  /** The revision of the demo's records. */
  const revision = async () => (await client.distributor.findUniqueOrThrow({ where: { id: DEMO_ID } })).revision

  return { ...database, app, jobs, scenario, keys, faults, ask, data, revision }
}
