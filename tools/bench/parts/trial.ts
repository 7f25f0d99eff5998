// Trial placement: how long "when can this account have these?" takes in a full plan.
import { randomFrom } from '../../../seeds/random.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { addDays } from '../../../src/planner/days.ts'
import { openTrial } from '../../../src/planner/index.ts'
import type { OrderLine } from '../../../src/planner/problem.ts'
import { milliseconds, type Part } from '../part.ts'
import { percentile } from '../statistics.ts'
import { timedPlan } from '../timed-plan.ts'

export const trial: Part = {
  name: 'trial',
  about: 'trial placement in a full plan of 5,000 lines, 100 vessels, 90 days',
  run(report) {
    const { lines, vessels, seconds, asked } = report.quick
      ? { lines: 1000, vessels: 40, seconds: 1, asked: 300 }
      : { lines: 5000, vessels: 100, seconds: 10, asked: 3000 }
    const problem = sizedProblem({ lines, vessels, days: 90, seed: 1 })
    const { plan } = timedPlan(report, 'the full plan', problem, seconds)
    const open = openTrial(problem, plan)
    const random = randomFrom(1)
    const ask = (index: number): OrderLine => {
      const like = random.pick(problem.orderLines)
      const serveOn = addDays(problem.today, random.int(2, problem.horizonDays - 1))
      const id = `trial-${index}`
      const { accountId, packId } = like
      return { id, orderId: id, accountId, packId, quantity: random.int(1, 6), serveOn }
    }
    for (let index = 0; index < asked / 10; index++) open.promise([ask(index)])
    const times = { 'on time': [] as number[], 'late or not at all': [] as number[], all: [] as number[] }
    for (let index = 0; index < asked; index++) {
      const line = ask(index)
      const started = performance.now()
      const [answer] = open.promise([line])
      const took = performance.now() - started
      times.all.push(took)
      times[answer!.onTime ? 'on time' : 'late or not at all'].push(took)
    }
    report.table(
      ['answer', 'asked', 'half', '95 of 100', '99 of 100', 'longest'],
      Object.entries(times)
        .filter(([, list]) => list.length > 0)
        .map(([name, list]) => [
          name,
          list.length,
          ...[0.5, 0.95, 0.99, 1].map((share) => milliseconds(percentile(list, share))),
        ]),
    )
    report.say('Times are whole answers: placed, explained where late, taken out again.')
    report.goal('95th percentile', percentile(times.all, 0.95), 0.2, milliseconds)
    report.goal('99th percentile', percentile(times.all, 0.99), 5, milliseconds)
  },
}
