// How the time of an import grows with the orders that it has, placement included: the API in this process, 5,000 open lines.
import { z } from 'zod'
import { createApp } from '../../../src/app.ts'
import { systemClock } from '../../../src/clock.ts'
import { jobsOf } from '../../../src/jobs/kinds.ts'
import { senderTo } from '../../serving/in-process.ts'
import { plannedLargeScenario, saveLarge } from '../../serving/large-data.ts'
import type { Send } from '../../serving/mixed-use.ts'
import { ownDatabase } from '../../serving/own-database.ts'
import { Asks } from '../../serving/questions.ts'
import { milliseconds, type Part, type Report } from '../part.ts'

const SEED = 5

const IMPORT = `mutation ($input: ImportOrdersInput!) {
  importOrders(input: $input) { __typename ... on ImportPayload { results { outcome } } ... on InvalidInput { issues { path message } } }
}`

const answered = z.object({ importOrders: z.object({ results: z.array(z.object({ outcome: z.string() })) }) })

export const importing: Part = {
  name: 'import',
  about:
    'imports of orders, each of which is placed in a plan of 5,000 lines: ten times as many at most twenty times the time',
  async run(report) {
    await imports(report, 'embedded', undefined)
    const url = process.env.TEST_DATABASE_URL
    if (url) await imports(report, 'PostgreSQL', url)
  },
}

async function imports(report: Report, where: string, serverUrl: string | undefined): Promise<void> {
  const scenario = plannedLargeScenario()
  const own = await ownDatabase(serverUrl)
  const database = await own.open()
  const onFault = (error: unknown) => report.fault(String(error))
  const services = { client: database.client, clock: systemClock, onFault }
  const jobs = jobsOf(services)
  try {
    const keys = await saveLarge(database.client, scenario)
    const send = senderTo(createApp({ ...services, jobs }), keys.sales)
    const asks = new Asks(scenario, SEED)
    const few = report.quick ? 5 : 100
    // The first import opens the plan, and is not counted.
    const warm = await timedImport(send, asks, few, 'WARM')
    const some = await timedImport(send, asks, few, 'FEW')
    const many = await timedImport(send, asks, 10 * few, 'MANY')
    const ratio = many.ms / some.ms
    report.table(
      [where, 'orders', 'placed', 'time', 'an order'],
      Object.entries({ 'opens the plan': warm, few: some, 'ten times as many': many }).map(
        ([name, { count, placed, ms }]) => [name, count, placed, milliseconds(ms), milliseconds(ms / count)],
      ),
    )
    report.goal(`${where}: ${10 * few} orders over ${few}`, ratio, 20, (value) => value.toFixed(2))
  } finally {
    await jobs.stop()
    await database.close()
    await own.drop()
  }
}

interface Timed {
  count: number
  /** How many of them became orders. */
  placed: number
  ms: number
}

/** Imports so many new orders in one call; each takes the earliest day that is left. */
async function timedImport(send: Send, asks: Asks, count: number, of: string): Promise<Timed> {
  const orders = Array.from({ length: count }, (_, index) => ({
    ...asks.next(),
    ...{ accept: 'LATER', externalRef: `${of}-${index}` },
  }))
  const began = performance.now()
  const { importOrders } = answered.parse(await send(IMPORT, { input: { orders } }))
  const ms = performance.now() - began
  const placed = importOrders.results.filter(({ outcome }) => outcome === 'CREATED').length
  return { count, placed, ms }
}
