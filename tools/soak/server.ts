// The server of a soak: as `npm start` runs it, but with a clock that its parent sets, and with small breweries of its own. It
// says where it answers, and then answers what its parent asks: what it has open, and which rows were written.

import { setTimeout as wait } from 'node:timers/promises'
import { queryObjects } from 'node:v8'
import { z } from 'zod'
import { oneSite } from '../../seeds/demo/one-site.ts'
import { demoScenario } from '../../seeds/demo.ts'
import { createApp } from '../../src/app.ts'
import { SetClock, todayIn } from '../../src/clock.ts'
import { openDatabase } from '../../src/database/open-database.ts'
import { jobsOf } from '../../src/jobs/kinds.ts'
import { makePlan } from '../../src/planner/index.ts'
import { LiveState } from '../../src/planner/live/live-state.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { Snapshots } from '../../src/records/snapshots.ts'
import { hashKey } from '../../src/resolvers/access/authenticate.ts'
import { newKey } from '../../src/resolvers/access/keys.ts'
import { ALL_SCOPES } from '../../src/scopes.ts'
import { listen } from '../../src/server.ts'
import { parseSettings } from '../../src/settings.ts'
import { endWaitingThreads } from '../../src/solver/on-thread.ts'
import { planWithBound } from '../../src/solver/plan-with-bound.ts'
import type { Asked, Measured, Opened, RevisionRows } from './messages.ts'

/** Seconds of a draft's bound: what it finds does not matter here. */
const BOUND_SECONDS = 0.1

const settings = parseSettings(process.env)
/** The first instant, and how many breweries there are. */
const [instant, count] = z.tuple([z.string(), z.coerce.number().int()]).parse(process.argv.slice(2))
const clock = new SetClock(instant)
const faults: string[] = []
const onFault = (error: unknown) => {
  faults.push(error instanceof Error ? (error.stack ?? error.message) : String(error))
}
let threads = 0
process.on('worker', (worker) => {
  threads += 1
  worker.once('exit', () => {
    threads -= 1
  })
})

const database = await openDatabase(settings, onFault)
const services = { client: database.client, clock, onFault }
const plan: typeof planWithBound = (problem, effort, options) =>
  planWithBound(problem, effort, { ...options, boundSeconds: BOUND_SECONDS })
const jobs = jobsOf({ ...services, plan }, { planningThreads: 1 })
const snapshots = new Snapshots()
const app = createApp({ ...services, ...settings, jobs, snapshots, newPlanEffort: { seconds: 0 } })
const breweries = await made()
const server = await listen(app, settings)
jobs.start()
process.on('message', async (asked: Asked) => process.send?.((await answered(asked)) ?? 'DONE'))
process.on('disconnect', () => process.exit(0))
process.send?.({ address: server.address, breweries } satisfies Opened)

async function answered(asked: Asked): Promise<object | undefined> {
  switch (asked.what) {
    case 'SET_CLOCK':
      clock.set(asked.to)
      return undefined
    case 'SETTLE':
      jobs.wake()
      await jobs.settled()
      return undefined
    case 'MEASURE':
      return measured()
    case 'ROWS':
      return rowsOf(asked.distributorId, asked.after)
  }
}

/** Breweries alike, each with a plan in force; no better plans are looked for, which would be planning and nothing else. */
async function made(): Promise<Opened['breweries']> {
  const scenario = oneSite(demoScenario(todayIn(clock, 'Europe/London')), 'hithelow')
  const baseline = makePlan(scenario.problem, { steps: 20 }).plan
  const planned = { ...scenario, problem: { ...scenario.problem, baseline } }
  return Promise.all(
    Array.from({ length: count }, (_, n) => `soak-${n + 1}`).map(async (id) => {
      const key = newKey()
      await database.client.$transaction(
        async (tx) => {
          await saveSetup(tx, id, planned, clock.now())
          await tx.distributor.update({ where: { id }, data: { betterPlans: 'NEVER' } })
          const row = { distributorId: id, name: 'Soak', hash: hashKey(key), scopes: [...ALL_SCOPES] }
          await tx.apiKey.create({ data: { ...row, createdAt: clock.now() } })
        },
        { timeout: 60_000 },
      )
      return { id, key }
    }),
  )
}

async function measured(): Promise<Measured> {
  const { client, pool } = database
  const inUse: number[] = []
  await endWaitingThreads()
  // A thread that has answered ends a moment later, a connection is closed when its other end is, and jobs are looked for meanwhile.
  for (let round = 1; round <= 3; round += 1) {
    await wait(100)
    if (round > 1) global.gc?.()
    inUse.push(pool.totalCount - pool.idleCount)
  }
  const sockets = process.getActiveResourcesInfo().filter((name) => name === 'TCPSocketWrap').length
  return {
    connections: Math.min(...inUse),
    // Those to a database server are no clients'.
    sockets: settings.databaseUrl ? Math.max(0, sockets - pool.totalCount) : sockets,
    ...{ threads, faults, snapshots: snapshots.revisions.size },
    openPlans: queryObjects(LiveState, { format: 'count' }),
    liveJobs: await client.job.count({ where: { state: { in: ['WAITING', 'RUNNING'] } } }),
    heap: process.memoryUsage().heapUsed,
    logRows: await client.changeLogEntry.count(),
    ledgerRows: await client.ledgerEntry.count(),
  }
}

async function rowsOf(distributorId: string, after: number): Promise<RevisionRows[]> {
  const where = { distributorId, revision: { gt: after } }
  const entries = await database.client.changeLogEntry.findMany({ where, select: { revision: true, kind: true } })
  const ledger = await database.client.ledgerEntry.groupBy({ by: ['revision'], where, _count: true })
  const ledgerOf = new Map(ledger.map(({ revision, _count }) => [revision, _count]))
  return [...new Set(entries.map(({ revision }) => revision))]
    .sort((a, b) => a - b)
    .map((revision) => ({
      revision,
      kinds: entries.filter((entry) => entry.revision === revision).map(({ kind }) => kind),
      ledger: ledgerOf.get(revision) ?? 0,
    }))
}
