// Server and worker are killed, and the database freezes, is killed and comes back, while a client that does not give up sends orders:
// each acknowledged order is there once, no draft is stuck, and service is back within seconds of the database. Half a minute
// where the races run on a server, with short limits and a short outage; some minutes in the long run.
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { openDatabase } from '../../src/database/open-database.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { checkPlan, parsePlan, parseProblem } from '../../src/planner/index.ts'
import { callerOf } from '../../tools/serving/caller.ts'
import { clusterPrograms, type OwnCluster, ownCluster } from '../../tools/serving/own-cluster.ts'
import { type ServerProcess, startedServer, startServer } from '../../tools/serving/server-process.ts'
import { LONG, WHOLE } from '../support/sampled.ts'
import { type Heard, OrderingClient } from './ordering-client.ts'

/** It takes a machine that has the server's programs. */
const programs = WHOLE ? clusterPrograms() : undefined

/** Limits on the server, in seconds, so short that an outage of seconds meets each of them. */
const LIMITS = LONG ? { lock: 2, statement: 3, answer: 4, idle: 3 } : { lock: 1, statement: 1, answer: 2, idle: 2 }
/** Milliseconds in which a write is refused: its connection falls silent, then another is tried to be made (10 s). */
const MOST_TO_REFUSE = (LIMITS.answer + 10 + 4) * 1000
/** Milliseconds in which service is back once the database is. */
const MOST_TO_RETURN = 10_000
/** How long the database is frozen: longer than any write that is under way may wait; in the long run also one that needs a connection. */
const FROZEN = LONG ? 20_000 : (LIMITS.answer + 2) * 1000
/** How long it is gone once it is killed. */
const GONE = LONG ? 3000 : 500
const MINUTE = 60_000
const WRITERS = 4

/** Of the orders that the client sends, so many are placed at least. */
const FEWEST_ORDERS = LONG ? 20 : 10

const DRAFT = `mutation { draftPlan(input: { effort: { seconds: ${LONG ? 3 : 1} } }) { ... on PlanPayload { plan { id } } } }`

const thingsShape = z.object({
  accounts: z.object({ edges: z.array(z.object({ node: z.object({ id: z.string() }) })) }),
  packs: z.object({ edges: z.array(z.object({ node: z.object({ id: z.string() }) })) }),
})
const draftedShape = z.object({ draftPlan: z.object({ plan: z.object({ id: z.string() }).optional() }) })
const statusShape = z.object({ plan: z.object({ status: z.string() }) })

describe.runIf(programs)('under load, on a cluster of its own', () => {
  let folder: string
  let cluster: OwnCluster
  let server: ServerProcess
  let worker: ServerProcess
  let client: OrderingClient
  let keys: Record<string, string>
  const drafts: string[] = []

  const environment = () => ({
    ...{ FILLWRIGHT_FOLDER: folder, DATABASE_URL: cluster.url, PLANNING_THREADS: '1' },
    ...{ DATABASE_LOCK_SECONDS: String(LIMITS.lock), DATABASE_STATEMENT_SECONDS: String(LIMITS.statement) },
    ...{ DATABASE_ANSWER_SECONDS: String(LIMITS.answer), DATABASE_IDLE_SECONDS: String(LIMITS.idle) },
  })
  const startWorker = async () => {
    const started = startServer(environment(), 'src/start/worker.ts')
    await started.until('works on jobs')
    return started
  }
  const ask = async (query: string, variables: Record<string, unknown> = {}) => {
    const caller = callerOf(server.address(), keys.planner ?? '', 1)
    const { data, errors } = await caller.ask(query, variables)
    caller.close()
    if (errors || !data) throw new Error(`answered ${JSON.stringify(errors)}`)
    return data
  }
  /** Begins a draft, as soon as there is room for one; a process is in the middle of it a moment later. */
  const begin = async () => {
    for (;;) {
      const { draftPlan } = draftedShape.parse(await ask(DRAFT))
      if (draftPlan.plan) {
        drafts.push(draftPlan.plan.id)
        return
      }
      await wait(500)
    }
  }
  const read = async (name: string): Promise<unknown> => {
    const headers = { authorization: `Bearer ${keys.planner}` }
    return (await fetch(`${server.address()}/documents/${name}.json`, { headers })).json()
  }

  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'fillwright-outage-'))
    cluster = await ownCluster(programs ?? '')
    await cluster.start()
    server = await startedServer(environment())
    // It has migrated the database, and makes the first plan meanwhile.
    worker = await startWorker()
    await server.until('in a browser')
    keys = z.record(z.string(), z.string()).parse(JSON.parse(await readFile(join(folder, 'demo-keys.json'), 'utf8')))
    const things = thingsShape.parse(
      await ask('{ accounts(first: 1) { edges { node { id } } } packs(first: 5) { edges { node { id } } } }'),
    )
    const [account] = things.accounts.edges.map(({ node }) => node)
    if (!account) throw new Error('the demo has no account')
    const serveOn = addDays(new Date().toISOString().slice(0, 10), 14)
    const wanted = { account, packs: things.packs.edges.map(({ node }) => node), serveOn }
    client = new OrderingClient(() => server.address(), keys.sales ?? '', wanted)
    client.begin(WRITERS)
    await client.placedAfter(0)
  }, 3 * MINUTE)

  afterAll(async () => {
    await Promise.all([server?.kill(), worker?.kill()])
    await cluster?.drop()
    await rm(folder, { recursive: true, force: true })
  }, MINUTE)

  test(
    'a server and a worker that are killed and started again take orders again',
    async () => {
      await begin()
      await Promise.all([server.kill(), worker.kill()])
      ;[server, worker] = await Promise.all([startedServer(environment()), startWorker()])
      expect(await client.placedAfter(performance.now())).toBeLessThan(MOST_TO_RETURN)
    },
    2 * MINUTE,
  )

  test(
    'a database that freezes has writes refused by a stated limit, and is served again when it goes on',
    async () => {
      await begin()
      const from = performance.now()
      cluster.freeze()
      await wait(FROZEN)
      cluster.thaw()
      const thawed = performance.now()
      expect(await client.placedAfter(thawed)).toBeLessThan(MOST_TO_RETURN)
      // Those on their way when it froze too: on a busy machine they are all that waits for its answer.
      const meanwhile = client.heard.filter(({ sentAt, answeredAt }) => answeredAt > from && sentAt < thawed)
      expect(meanwhile.filter(isRefused).map(({ answer }) => answer)).toContain('DATABASE_AWAY')
      expect(Math.max(...meanwhile.map(({ sentAt, answeredAt }) => answeredAt - sentAt))).toBeLessThan(MOST_TO_REFUSE)
    },
    2 * MINUTE,
  )

  test(
    'a database that is killed and started again is served again within seconds',
    async () => {
      await begin()
      await cluster.kill()
      await wait(GONE)
      await cluster.start()
      expect(await client.placedAfter(performance.now())).toBeLessThan(MOST_TO_RETURN)
    },
    2 * MINUTE,
  )

  test(
    'a minute later no draft is being solved any more that a process was killed over or lost the database in',
    async () => {
      const within = performance.now() + MINUTE
      for (;;) {
        const all = await Promise.all(
          drafts.map(async (id) =>
            statusShape.parse(await ask('query ($id: ID!) { plan(id: $id) { status } }', { id })),
          ),
        )
        if (all.every(({ plan }) => plan.status !== 'SOLVING')) break
        expect(performance.now()).toBeLessThan(within)
        await wait(500)
      }
      expect(drafts).toHaveLength(3)
    },
    2 * MINUTE,
  )

  test(
    'afterwards each acknowledged order is there once and whole, and the plan is valid for the records',
    async () => {
      await client.end()
      const problem = parseProblem(await read('problem'))
      if (!problem.ok) throw new Error('the problem does not parse')
      const plan = parsePlan(await read('plan'), problem.problem)
      if (!plan.ok) throw new Error('the plan does not parse')
      expect(checkPlan(problem.problem, plan.plan).violations).toEqual([])
      const { client: rows, close } = await openDatabase(
        { folder, databaseUrl: cluster.url, databasePool: 2 },
        () => {},
      )
      const orders = await rows.order.findMany({
        where: { externalRef: { startsWith: 'OUT-' } },
        include: { lines: true },
      })
      const { revision } = await rows.distributor.findFirstOrThrow()
      const entries = await rows.changeLogEntry.groupBy({ by: ['revision'], _max: { n: true }, _count: true })
      await close()
      const there = orders.map(({ externalRef }) => externalRef ?? '')
      expect(there.sort()).toEqual([...client.acknowledged].sort())
      expect(there.length).toBeGreaterThan(FEWEST_ORDERS)
      expect(orders.filter(({ lines }) => lines.length !== 1 || lines[0]?.quantity !== 1)).toEqual([])
      // The change log has no gaps.
      expect(entries).toHaveLength(revision)
      expect(entries.filter(({ _max, _count }) => _max.n !== _count)).toEqual([])
    },
    MINUTE,
  )
})

function isRefused({ answer }: Heard): boolean {
  return answer !== 'OrderPayload'
}
