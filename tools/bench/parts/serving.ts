// Serving: a real server over HTTP with 5,000 open lines. Everything is told as a ratio within one run.
import type { Scenario } from '../../../src/records/scenario.ts'
import { bareTransaction } from '../../serving/bare-transaction.ts'
import { callerOf } from '../../serving/caller.ts'
import { LARGE_ID, plannedLargeScenario, saveLarge } from '../../serving/large-data.ts'
import { type Load, load, together } from '../../serving/load.ts'
import { type OwnDatabase, ownDatabase } from '../../serving/own-database.ts'
import { Asks, CANCEL, PLACE, PROMISE, TRIVIAL } from '../../serving/questions.ts'
import { startedServer } from '../../serving/server-process.ts'
import { milliseconds, number, type Part, type Report } from '../part.ts'
import { percentile } from '../statistics.ts'

const CONNECTIONS = 16

export const serving: Part = {
  name: 'serving',
  about: 'requests a second and their times, through HTTP on 16 connections, with 5,000 open lines',
  async run(report) {
    const scenario = plannedLargeScenario()
    report.say('The plan in force is the first plan; a server as npm start runs it, in a process of its own.')
    await serve(report, scenario, 'the embedded database', undefined)
    const url = process.env.TEST_DATABASE_URL
    if (url) await serve(report, scenario, 'a PostgreSQL server', url)
    else report.say('No PostgreSQL server: TEST_DATABASE_URL is not set.')
  },
}

async function serve(report: Report, scenario: Scenario, where: string, serverUrl: string | undefined): Promise<void> {
  const own = await ownDatabase(serverUrl)
  try {
    const { key, bare } = await prepare(own, scenario, report.quick)
    const loads = await measure(own, scenario, key, report.quick)
    const rows = { ...loads, ...bare }
    report.say(`\nOn ${where}:`)
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

/** Fills the database, and measures the bare transaction there, in this process. */
async function prepare(own: OwnDatabase, scenario: Scenario, quick: boolean) {
  const database = await own.open()
  try {
    const key = await saveLarge(database.client, scenario)
    const bare = await bareTransaction(database, LARGE_ID)
    const seconds = quick ? 1 : 5
    await load(CONNECTIONS, seconds / 5, bare.byDriver)
    await load(CONNECTIONS, seconds / 5, bare.byClient)
    const byDriver = await load(CONNECTIONS, seconds, bare.byDriver)
    const byClient = await load(CONNECTIONS, seconds, bare.byClient)
    await bare.undo()
    return { key, bare: { 'bare transaction': byDriver, 'bare transaction, by the client': byClient } }
  } finally {
    await database.close()
  }
}

/** The loads of a server, taken in turns so that what else the machine does falls on all of them. */
async function measure(own: OwnDatabase, scenario: Scenario, key: string, quick: boolean) {
  const server = await startedServer(own.environment)
  const caller = callerOf(server.address(), key, CONNECTIONS)
  const asks = new Asks(scenario, 1)
  const ask = async (query: string, variables?: Record<string, unknown>) => {
    const { data, errors } = await caller.ask(query, variables)
    if (errors || !data) throw new Error(`the server answered ${JSON.stringify(errors)}`)
    return JSON.stringify(data)
  }
  const placed: string[] = []
  const questions = {
    'trivial query': () => ask(TRIVIAL),
    promise: () => ask(PROMISE, { input: asks.next() }),
    'an order placed': async () => {
      const answer = await ask(PLACE, { input: { ...asks.next(), accept: 'LATER' } })
      const id = /"id":"([^"]+)"/.exec(answer)?.[1]
      if (id) placed.push(id)
    },
  }
  const rounds = quick ? 2 : 6
  const seconds = quick ? 1 : 4
  const loads = new Map<string, Load[]>()
  for (let round = 0; round <= rounds; round++)
    for (const [name, question] of Object.entries(questions)) {
      const each = await load(CONNECTIONS, seconds, question)
      // The first round only warms up.
      if (round > 0) loads.set(name, [...(loads.get(name) ?? []), each])
      for (const id of placed.splice(0)) await ask(CANCEL, { input: { order: { id } } })
    }
  caller.close()
  await server.stop()
  return Object.fromEntries([...loads].map(([name, list]) => [name, together(list)]))
}

function goals(report: Report, where: string, rows: Record<string, Load>): void {
  const rate = (name: string) => rows[name]?.perSecond ?? Number.NaN
  const times = rows.promise?.times ?? []
  const ratio = (value: number) => value.toFixed(2)
  report.goal(`${where}: trivial queries for a promise`, rate('trivial query') / rate('promise'), 2, ratio)
  report.goal(
    `${where}: promise, 99th percentile over median`,
    percentile(times, 0.99) / percentile(times, 0.5),
    5,
    ratio,
  )
  report.goal(`${where}: bare transactions for an order`, rate('bare transaction') / rate('an order placed'), 3, ratio)
}
