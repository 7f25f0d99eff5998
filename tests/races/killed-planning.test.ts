// A process or the database is killed in the middle of a draft: within a minute the draft is ready all the same.
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { demoScenario } from '../../seeds/demo.ts'
import { systemClock, todayIn } from '../../src/clock.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import type { Database } from '../../src/database/open-database.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { Snapshots } from '../../src/records/snapshots.ts'
import { CommandExecutor } from '../../src/resolvers/commands/executor.ts'
import { draftPlan } from '../../src/resolvers/plans/draft-plan.ts'
import { callerOf } from '../../tools/serving/caller.ts'
import { type OwnDatabase, ownDatabase } from '../../tools/serving/own-database.ts'
import { type ServerProcess, startedServer, startServer } from '../../tools/serving/server-process.ts'
import { testJobs } from '../support/jobs.ts'
import { LONG } from '../support/sampled.ts'

const serverUrl = process.env.TEST_DATABASE_URL || undefined
const MINUTE = 60_000

/** Milliseconds until `look` answers true; looks a few times a second. */
async function until(look: () => Promise<boolean>): Promise<number> {
  const begun = performance.now()
  while (!(await look())) await wait(200)
  return performance.now() - begun
}

describe.runIf(serverUrl)('on PostgreSQL, with workers', () => {
  let own: OwnDatabase
  let database: Database
  let client: PrismaClient
  const workers: ServerProcess[] = []
  beforeAll(async () => {
    own = await ownDatabase(serverUrl)
    database = await own.open()
    client = database.client
    const demo = demoScenario(todayIn(systemClock, 'Europe/London'))
    await client.$transaction((tx) => saveSetup(tx, 'demo', demo, systemClock.now()))
  }, MINUTE)
  afterAll(async () => {
    await Promise.all(workers.map((worker) => worker.kill()))
    await database.close()
    await own.drop()
  })

  /** A process that plans, one search at a time. */
  const worker = async () => {
    const started = startServer({ ...own.environment, PLANNING_THREADS: '1' }, 'src/start/worker.ts')
    workers.push(started)
    await started.until('works on jobs')
    return started
  }
  /** Asks for a draft that this process does not solve itself, and waits until a worker is in the middle of it. */
  const draftUnderWay = async () => {
    const services = { client, clock: systemClock, onFault: (error: unknown) => expect(error).toBe(undefined) }
    const jobs = testJobs(services)
    await jobs.stop()
    const actor = {
      ...services,
      distributorId: 'demo',
      snapshots: new Snapshots(),
      executor: new CommandExecutor(),
      jobs,
    }
    const { id } = await draftPlan(actor, { effort: { seconds: 5 } })
    await until(async () => (await row(id)).progress !== null)
    return id
  }
  const row = (id: string) =>
    client.plan.findUniqueOrThrow({ where: { distributorId_id: { distributorId: 'demo', id } } })
  const solved = (id: string) => until(async () => (await row(id)).status !== 'SOLVING')
  const jobOf = (id: string) => client.job.findFirstOrThrow({ where: { key: id } })

  test('a worker is killed in the middle of a draft: another one has it ready within a minute', async () => {
    const first = await worker()
    const id = await draftUnderWay()
    const begun = performance.now()
    await first.kill()
    await worker()
    await solved(id)
    expect(performance.now() - begun).toBeLessThan(MINUTE)
    expect(await row(id)).toMatchObject({ status: 'DRAFT', failure: null })
    expect(await jobOf(id)).toMatchObject({ state: 'DONE', attempts: 2 })
  }, 120_000)

  test('a worker that is asked to stop gives the draft back, and another one begins it at once', async () => {
    await Promise.all(workers.splice(0).map((each) => each.kill()))
    const first = await worker()
    const id = await draftUnderWay()
    expect(await first.stop()).toBe(0)
    await worker()
    expect(await solved(id)).toBeLessThan(MINUTE / 2)
    expect(await row(id)).toMatchObject({ status: 'DRAFT' })
    expect(await jobOf(id)).toMatchObject({ state: 'DONE', attempts: 1 })
  }, 120_000)

  test('all connections break in the middle of a draft: it is ready within a minute', async () => {
    const id = await draftUnderWay()
    await database.pool.query(`SELECT pg_terminate_backend(pid) FROM pg_stat_activity
      WHERE datname = current_database() AND pid <> pg_backend_pid()`)
    expect(await solved(id)).toBeLessThan(MINUTE)
    expect(await row(id)).toMatchObject({ status: 'DRAFT', failure: null })
  }, 120_000)

  test('a worker with a port says that it is ready and what it planned, and nothing to those without the token', async () => {
    const token = 'a-token-of-the-test'
    const asked = startServer({ ...own.environment, WORKER_PORT: '0', METRICS_TOKEN: token }, 'src/start/worker.ts')
    workers.push(asked)
    await asked.until('how it is')
    const at = (path: string, authorization = '') => fetch(`${asked.address()}${path}`, { headers: { authorization } })
    expect((await at('/health/live')).status).toBe(200)
    expect((await at('/health/ready')).status).toBe(200)
    expect((await at('/graphql')).status).toBe(404)
    expect((await at('/metrics')).status).toBe(401)
    expect(await (await at('/metrics', `Bearer ${token}`)).text()).toContain('fillwright_job_duration_seconds')
    expect(await asked.stop()).toBe(0)
  })
})

// A minute of processes that start and search: where servers are raced as well, and in the long run.
describe.runIf(serverUrl || LONG)('on the embedded database', () => {
  let own: OwnDatabase
  let server: ServerProcess | undefined
  beforeAll(async () => {
    own = await ownDatabase(undefined)
  })
  afterAll(async () => {
    await server?.kill()
    await own.drop()
  })

  test('the server is killed in the middle of a draft: started again, it has the draft ready within a minute', async () => {
    server = await startedServer(own.environment)
    await server.until('in a browser')
    const keys = await readFile(join(own.environment.FILLWRIGHT_FOLDER ?? '', 'demo-keys.json'), 'utf8')
    const { planner } = z.object({ planner: z.string() }).parse(JSON.parse(keys))
    const ask = async (query: string, variables: Record<string, unknown> = {}) =>
      (await callerOf(server?.address() ?? '', planner, 1).ask(query, variables)).data
    const drafted = await ask(
      'mutation { draftPlan(input: { effort: { seconds: 3 } }) { ... on PlanPayload { plan { id } } } }',
    )
    const { id } = z.object({ draftPlan: z.object({ plan: z.object({ id: z.string() }) }) }).parse(drafted)
      .draftPlan.plan
    const look = async () => {
      const data = await ask('query ($id: ID!) { plan(id: $id) { status progress { steps } } }', { id })
      return z.object({ plan: z.object({ status: z.string(), progress: z.unknown() }) }).parse(data).plan
    }
    await until(async () => (await look()).progress !== null)
    await server.kill()
    server = await startedServer(own.environment)
    expect(await until(async () => (await look()).status !== 'SOLVING')).toBeLessThan(MINUTE)
    expect(await look()).toMatchObject({ status: 'DRAFT' })
  }, 240_000)

  test('a worker does not start on it, and says what to do', async () => {
    const worker = startServer({}, 'src/start/worker.ts')
    expect(await worker.ended).toBe(1)
    expect(worker.output()).toContain('set DATABASE_URL')
  })
})
