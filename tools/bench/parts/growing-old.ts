// A process that grows old: an hour of mixed use in so many steps, and then the same questions as at the start.
import { z } from 'zod'
import { demoScenario } from '../../../seeds/demo.ts'
import { createApp } from '../../../src/app.ts'
import { SetClock, systemClock, todayIn } from '../../../src/clock.ts'
import type { Database } from '../../../src/database/open-database.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { saveSetup } from '../../../src/records/save-setup.ts'
import type { Scenario } from '../../../src/records/scenario.ts'
import { makeDemoKeys } from '../../../src/resolvers/access/demo-keys.ts'
import { Drafts } from '../../../src/resolvers/plans/drafts.ts'
import { MixedUse, type Send } from '../../serving/mixed-use.ts'
import { ownDatabase } from '../../serving/own-database.ts'
import { Asks, AT_RISK, ORDERS, PROMISE } from '../../serving/questions.ts'
import { milliseconds, type Report } from '../part.ts'
import { percentile } from '../statistics.ts'

const ID = 'demo'
const SEED = 11
const HOUR = 3_600_000

const answerShape = z.object({ data: z.record(z.string(), z.unknown()).nullish(), errors: z.unknown().optional() })

/**
 * Lets one process, which begins with an empty database, be used for an hour of its clock, and reports how long the same
 * questions take before and after.
 */
export async function growsOld(report: Report, where: string, serverUrl: string | undefined): Promise<void> {
  const own = await ownDatabase(serverUrl)
  const database = await own.open()
  const drafts = new Drafts()
  try {
    const { clock, send, scenario } = await inProcess(database, drafts)
    const use = new MixedUse(send, () => drafts.settled(), scenario, SEED)
    const batches = await use.batches()
    const times = report.quick ? 7 : 25
    await askAll(send, scenario, times)
    const young = await askAll(send, scenario, times)
    const steps = report.quick ? 80 : 1200
    for (let step = 0; step < steps; step += 1) {
      clock.set(new Date(clock.now().getTime() + HOUR / steps))
      await use.step()
    }
    const done = Object.entries(use.done).map(([what, count]) => `${count} ${what}`)
    const busy = await askAll(send, scenario, times)
    await use.putRight(batches)
    const old = await askAll(send, scenario, times)
    report.say(`\n${where}, a process that grows old: an hour of its clock with ${done.join(', ')}.`)
    report.table(
      ['question, half of the times', 'at the start', 'in the midst of it', 'with all put right again'],
      Object.keys(young).map((name) => [name, ...[young, busy, old].map((each) => milliseconds(each[name] ?? 0))]),
    )
    for (const [name, before] of Object.entries(young))
      report.goal(`${where}, grown old: ${name}, end over start`, (old[name] ?? 0) / before, 1.5, (x) => x.toFixed(2))
  } finally {
    await drafts.stop()
    await database.close()
    await own.drop()
  }
}

/** The demo with a plan in force, and the API over it. */
async function inProcess({ client }: Database, drafts: Drafts) {
  const clock = new SetClock(systemClock.now())
  const demo = demoScenario(todayIn(clock, 'Europe/London'))
  const { plan } = makePlan(demo.problem, { steps: 60 })
  const scenario: Scenario = { ...demo, problem: { ...demo.problem, baseline: plan } }
  const keys = await client.$transaction(async (tx) => {
    await saveSetup(tx, ID, scenario, clock.now())
    return makeDemoKeys(tx, ID, clock.now())
  })
  const app = createApp({
    ...{ client, clock, drafts },
    onFault: (error) => process.stderr.write(`fault: ${String(error)}\n`),
  })
  const send: Send = async (query, variables = {}) => {
    const response = await app.fetch('http://bench/graphql', {
      method: 'POST',
      headers: { 'content-type': 'application/json', authorization: `Bearer ${keys.admin}` },
      body: JSON.stringify({ query, variables }),
    })
    const { data, errors } = answerShape.parse(await response.json())
    if (errors !== undefined || !data) throw new Error(`${query} was answered by ${JSON.stringify(errors)}`)
    return data
  }
  return { clock, send, scenario }
}

/** Half of the times of each question, by name. */
async function askAll(send: Send, scenario: Scenario, times: number): Promise<Record<string, number>> {
  const asks = new Asks(scenario, SEED)
  const questions: Record<string, () => Promise<unknown>> = {
    'orders at risk': () => send(AT_RISK),
    orders: () => send(ORDERS),
    promise: () => send(PROMISE, { input: asks.next() }),
  }
  const found: Record<string, number> = {}
  for (const [name, ask] of Object.entries(questions)) {
    const taken: number[] = []
    for (let run = 0; run < times; run += 1) {
      const began = performance.now()
      await ask()
      taken.push(performance.now() - began)
    }
    found[name] = percentile(taken, 0.5)
  }
  return found
}
