// Serving: a real server over HTTP with 5,000 open lines, and a process that grows old. Every figure is a ratio within one run.
import type { Scenario } from '../../../src/records/scenario.ts'
import { bareTransaction } from '../../serving/bare-transaction.ts'
import { callerOf } from '../../serving/caller.ts'
import { LARGE_ID, plannedLargeScenario, saveLarge } from '../../serving/large-data.ts'
import { type Load, load, together } from '../../serving/load.ts'
import { type OwnDatabase, ownDatabase } from '../../serving/own-database.ts'
import { Asks, AVAILABILITY, PROMISE, RELEASE, RESERVE, TRIVIAL } from '../../serving/questions.ts'
import { startedServer } from '../../serving/server-process.ts'
import { milliseconds, number, type Part, type Report } from '../part.ts'
import { mean, percentile } from '../statistics.ts'
import { growsOld } from './growing-old.ts'
import { amongManyPlans } from './many-plans.ts'

const CONNECTIONS = 16

export const serving: Part = {
  name: 'serving',
  about: 'requests a second and their times with 5,000 open lines; how a process that is used for an hour grows old',
  async run(report) {
    const url = process.env.TEST_DATABASE_URL
    await growsOld(report, 'embedded', undefined)
    if (url) await growsOld(report, 'PostgreSQL', url)
    const scenario = plannedLargeScenario()
    await amongManyPlans(report, scenario, 'embedded', undefined)
    if (url) await amongManyPlans(report, scenario, 'PostgreSQL', url)
    report.say('The plan in force is the first plan; a server as npm start runs it, in a process of its own.')
    await serve(report, scenario, 'embedded', undefined)
    if (url) await serve(report, scenario, 'PostgreSQL', url)
    else report.say('No PostgreSQL server: TEST_DATABASE_URL is not set.')
  },
}

/** Sends a query and answers its data as text. */
type Send = (query: string, variables?: Record<string, unknown>) => Promise<string>

interface Question {
  name: string
  connections: number
  /** Parts into which its time is cut; all that was reserved is given back after each. Absent: one. */
  stretches?: number
  ask: (send: Send) => Promise<unknown>
}

/** What was measured, by name. */
type Loads = Record<string, Load>

async function serve(report: Report, scenario: Scenario, where: string, serverUrl: string | undefined): Promise<void> {
  const own = await ownDatabase(serverUrl)
  try {
    const { sales: key } = await withDatabase(own, ({ client }) => saveLarge(client, scenario))
    // Before and after the server: the embedded database belongs to one process at a time.
    const bare = async () => ({ ...(await bareLoads(own, report.quick)), ...(await bareServed(own, report.quick)) })
    const before = await bare()
    const served = await serverLoads(own, scenario, key, report.quick)
    const after = await bare()
    const rows = { ...served, ...joined([before, after]) }
    report.say(`\n${where}:`)
    report.table(
      ['what', 'answers', 'a second', 'half', '95 of 100', '99 of 100', 'longest'],
      Object.entries(rows).map(([name, { perSecond, times }]) => [
        name,
        times.length,
        number(perSecond),
        ...[0.5, 0.95, 0.99, 1].map((share) => milliseconds(percentile(times, share))),
      ]),
    )
    goals(report, where, rows)
  } finally {
    await own.drop()
  }
}

async function withDatabase<Result>(
  own: OwnDatabase,
  work: (database: Awaited<ReturnType<OwnDatabase['open']>>) => Promise<Result>,
): Promise<Result> {
  const database = await own.open()
  try {
    return await work(database)
  } finally {
    await database.close()
  }
}

/** Asks something so often: a while to warm up, then what counts. */
async function measured(seconds: number, once: () => Promise<unknown>): Promise<Load> {
  await load(CONNECTIONS, seconds / 4, once)
  return load(CONNECTIONS, seconds, once)
}

/** Seconds for which a bare transaction is asked for. */
const bareSeconds = (quick: boolean) => (quick ? 0.5 : 4)

/** The bare transaction through HTTP, by a server in a process of its own that does nothing else. */
async function bareServed(own: OwnDatabase, quick: boolean): Promise<Loads> {
  const server = await startedServer(own.environment, 'tools/serving/bare-server.ts')
  const caller = callerOf(server.address(), '', CONNECTIONS)
  try {
    return { 'bare transaction, through HTTP': await measured(bareSeconds(quick), () => caller.ask('')) }
  } finally {
    caller.close()
    await server.stop()
  }
}

/** The bare transaction, in this process. */
function bareLoads(own: OwnDatabase, quick: boolean): Promise<Loads> {
  return withDatabase(own, async (database) => {
    const bare = await bareTransaction(database, LARGE_ID)
    const seconds = bareSeconds(quick)
    const loads = {
      'bare transaction, by the driver': await measured(seconds, bare.byDriver),
      'bare transaction, by the client': await measured(seconds, bare.byClient),
    }
    await bare.undo()
    return loads
  })
}

/** The loads of a server, taken in turns so that what else the machine does falls on all of them. */
async function serverLoads(own: OwnDatabase, scenario: Scenario, key: string, quick: boolean): Promise<Loads> {
  const server = await startedServer(own.environment)
  const asks = new Asks(scenario, 1)
  const reserved: string[] = []
  let asked = 0
  let refused = 0
  const questions: Question[] = [
    { name: 'trivial query', connections: CONNECTIONS, ask: (send) => send(TRIVIAL) },
    { name: 'promise', connections: CONNECTIONS, ask: (send) => send(PROMISE, { input: asks.next() }) },
    {
      name: 'reservation',
      connections: CONNECTIONS,
      // A second's reservations leave room in the plan for more: a refusal is answered without anything written.
      stretches: 4,
      ask: async (send) => {
        asked += 1
        const answer = await send(RESERVE, { input: { ...asks.next(), accept: 'LATER' } })
        const id = /"id":"([^"]+)"/.exec(answer)?.[1]
        if (id) reserved.push(id)
        else refused += 1
      },
    },
    { name: 'promise, one by one', connections: 1, ask: (send) => send(PROMISE, { input: asks.next() }) },
    { name: 'availability, one by one', connections: 1, ask: (send) => send(AVAILABILITY, asks.span()) },
  ]
  try {
    const rounds: Loads[] = []
    for (let round = 0; round <= (quick ? 1 : 5); round += 1) {
      const loads: Loads = {}
      for (const { name, connections, stretches = 1, ask } of questions) {
        const caller = callerOf(server.address(), key, CONNECTIONS)
        const send: Send = async (query, variables) => {
          const { data, errors } = await caller.ask(query, variables)
          if (errors || !data) throw new Error(`the server answered ${JSON.stringify(errors)}`)
          return JSON.stringify(data)
        }
        const parts: Load[] = []
        for (let left = stretches; left > 0; left -= 1) {
          parts.push(await load(connections, (quick ? 1 : 4) / stretches, () => ask(send)))
          // What was reserved is given back, so that each stretch finds the same plan.
          for (const id of reserved.splice(0)) await send(RELEASE, { input: { reservation: { id } } })
        }
        loads[name] = together(parts)
        caller.close()
      }
      // The first round only warms up.
      if (round > 0) rounds.push(loads)
    }
    process.stdout.write(`${refused} of ${asked} reservations were answered that they cannot be had\n`)
    return joined(rounds)
  } finally {
    await server.stop()
  }
}

/** Several rounds as one. */
function joined(rounds: readonly Loads[]): Loads {
  const names = Object.keys(rounds[0] ?? {})
  return Object.fromEntries(names.map((name) => [name, together(rounds.flatMap((loads) => loads[name] ?? []))]))
}

function goals(report: Report, where: string, rows: Loads): void {
  const rate = (name: string) => rows[name]?.perSecond ?? Number.NaN
  const times = (name: string) => rows[name]?.times ?? []
  const ratio = (value: number) => value.toFixed(2)
  const goal = (what: string, value: number, most: number) => report.goal(`${where}: ${what}`, value, most, ratio)
  goal('trivial queries for a promise', rate('trivial query') / rate('promise'), 2)
  goal(
    'promise, 99th percentile over median',
    percentile(times('promise'), 0.99) / percentile(times('promise'), 0.5),
    5,
  )
  const [availability, promise] = [mean(times('availability, one by one')), mean(times('promise, one by one'))]
  goal('promises for an availability of four weeks and all packs', availability / promise, 100)
  const perReservation = (how: string) => rate(`bare transaction, ${how}`) / rate('reservation')
  goal('bare transactions through HTTP for a reservation', perReservation('through HTTP'), 3)
  report.say(
    `${where}, without HTTP and a second process: ${ratio(perReservation('by the driver'))} bare transactions by the driver ` +
      `for a reservation, ${ratio(perReservation('by the client'))} by the client.`,
  )
}
