// Lists of orders among many past plans: 5,000 open lines, and a hundred plans that were in force before.
import { createApp } from '../../../src/app.ts'
import { systemClock } from '../../../src/clock.ts'
import type { Scenario } from '../../../src/records/scenario.ts'
import { senderTo } from '../../serving/in-process.ts'
import { LARGE_ID, saveLarge } from '../../serving/large-data.ts'
import { ownDatabase } from '../../serving/own-database.ts'
import { copyPlanInForce } from '../../serving/past-plans.ts'
import { AT_RISK, ORDERS } from '../../serving/questions.ts'
import { milliseconds, type Report } from '../part.ts'
import { mediansOf } from '../statistics.ts'

/** Reports how long lists of orders take without past plans and with a hundred of them. */
export async function amongManyPlans(
  report: Report,
  scenario: Scenario,
  where: string,
  serverUrl: string | undefined,
): Promise<void> {
  const own = await ownDatabase(serverUrl)
  const database = await own.open()
  try {
    const { client, pool } = database
    const { sales: key } = await saveLarge(client, scenario)
    const onFault = (error: unknown) => report.fault(String(error))
    const send = senderTo(createApp({ client, clock: systemClock, onFault }), key)
    const questions = { 'orders at risk': () => send(AT_RISK), orders: () => send(ORDERS) }
    const times = report.quick ? 7 : 25
    await mediansOf(questions, times)
    const few = await mediansOf(questions, times)
    const plans = report.quick ? 10 : 100
    await copyPlanInForce(pool, LARGE_ID, plans)
    const many = await mediansOf(questions, times)
    report.say(`\n${where}, 5,000 open lines:`)
    report.table(
      ['question, half of the times', 'one plan', `${plans} past plans`],
      Object.keys(few).map((name) => [name, ...[few, many].map((each) => milliseconds(each[name] ?? 0))]),
    )
    report.goal(`${where}: orders at risk among past plans`, many['orders at risk'] ?? 0, 50, milliseconds)
  } finally {
    await database.close()
    await own.drop()
  }
}
