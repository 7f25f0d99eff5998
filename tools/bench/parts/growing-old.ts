// A process that grows old: an hour of mixed use in so many steps, and then the same questions as at the start.
import { demoScenario } from '../../../seeds/demo.ts'
import { type AppOptions, createApp } from '../../../src/app.ts'
import { SetClock, systemClock, todayIn } from '../../../src/clock.ts'
import { jobsOf } from '../../../src/jobs/kinds.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { saveSetup } from '../../../src/records/save-setup.ts'
import type { Scenario } from '../../../src/records/scenario.ts'
import { makeDemoKeys } from '../../../src/resolvers/access/demo-keys.ts'
import { senderTo } from '../../serving/in-process.ts'
import { MixedUse, type Send } from '../../serving/mixed-use.ts'
import { ownDatabase } from '../../serving/own-database.ts'
import { Asks, AT_RISK, ORDERS, PROMISE } from '../../serving/questions.ts'
import { milliseconds, type Report } from '../part.ts'
import { mediansOf } from '../statistics.ts'

const ID = 'demo'
const SEED = 11
const HOUR = 3_600_000
/** What the names of questions to a server that has just begun have in front. */
const ANEW = 'begun anew: '

const ratio = (value: number) => value.toFixed(2)

/** The same with something in front of each name. */
const named = <T>(entries: Readonly<Record<string, T>>, front: string): Record<string, T> =>
  Object.fromEntries(Object.entries(entries).map(([name, each]) => [front + name, each]))

/**
 * Lets one process, which begins with an empty database, be used for an hour of its clock, and reports how long the same
 * questions take before and after.
 */
export async function growsOld(report: Report, where: string, serverUrl: string | undefined): Promise<void> {
  const own = await ownDatabase(serverUrl)
  const database = await own.open()
  // An hour from nine o'clock on ends on the same day.
  const clock = new SetClock(`${todayIn(systemClock, 'UTC')}T09:00:00Z`)
  const onFault = (error: unknown) => process.stderr.write(`fault: ${String(error)}\n`)
  const services = { client: database.client, clock, onFault }
  const jobs = jobsOf(services)
  try {
    const { begin, scenario } = await inProcess({ ...services, jobs })
    const send = begin()
    const use = new MixedUse(send, () => jobs.settled(), scenario, SEED)
    const batches = await use.batches()
    const times = report.quick ? 15 : 60
    await mediansOf(questionsTo(send, scenario), times)
    const young = await mediansOf(questionsTo(send, scenario), times)
    const steps = report.quick ? 80 : 1200
    for (let step = 0; step < steps; step += 1) {
      clock.set(new Date(clock.now().getTime() + HOUR / steps))
      await use.step()
    }
    const done = Object.entries(use.done).map(([what, count]) => `${count} ${what}`)
    const busy = await mediansOf(questionsTo(send, scenario), times)
    await use.putRight(batches)
    // Asked in turns with a server that has just begun, so that what else the machine does falls on both.
    const fresh = questionsTo(begin(), scenario)
    await mediansOf({ ...questionsTo(send, scenario), ...named(fresh, ANEW) }, times)
    const both = await mediansOf({ ...questionsTo(send, scenario), ...named(fresh, ANEW) }, times)
    report.say(`\n${where}, a process that grows old: an hour of its clock with ${done.join(', ')}.`)
    report.table(
      ['question, half of the times', 'at the start', 'in the midst of it', 'with all put right', 'begun anew then'],
      Object.keys(young).map((name) => [
        name,
        ...[young[name], busy[name], both[name], both[ANEW + name]].map((each) => milliseconds(each ?? 0)),
      ]),
    )
    for (const [name, start] of Object.entries(young)) {
      const goal = (beside: string, other: number | undefined) =>
        report.goal(`${where}, grown old: ${name}, end over ${beside}`, (both[name] ?? 0) / (other ?? 0), 1.5, ratio)
      goal('start', start)
      goal('begun anew', both[ANEW + name])
    }
  } finally {
    await jobs.stop()
    await database.close()
    await own.drop()
  }
}

/** The demo with a plan in force, and the API over it. */
async function inProcess(options: AppOptions) {
  const { client, clock } = options
  const demo = demoScenario(todayIn(clock, 'Europe/London'))
  const { plan } = makePlan(demo.problem, { steps: 60 })
  const scenario: Scenario = { ...demo, problem: { ...demo.problem, baseline: plan } }
  const keys = await client.$transaction(async (tx) => {
    await saveSetup(tx, ID, scenario, clock.now())
    return makeDemoKeys(tx, ID, clock.now())
  })
  /** A server that knows nothing of what others did but by the records. */
  const begin = () => senderTo(createApp(options), keys.admin)
  return { begin, scenario }
}

/** What is asked at the start and at the end: the same promises each time. */
function questionsTo(send: Send, scenario: Scenario): Record<string, () => Promise<unknown>> {
  const asks = new Asks(scenario, SEED)
  return {
    'orders at risk': () => send(AT_RISK),
    orders: () => send(ORDERS),
    promise: () => send(PROMISE, { input: asks.next() }),
  }
}
