// One machine, jobs with processing times, weights and due dates: the machine is a filler of one minute a day.
import type { Problem } from '../../src/planner/documents/index.ts'
import { shopBeer, shopDay, shopProblem } from './shop-problem.ts'

export interface Job {
  processing: number
  weight: number
  due: number
}

/** The jobs of instance `index` (from 0) of a file: for each instance the processing times, the weights, the due dates. */
export function tardinessJobs(text: string, index: number, jobs = 40): Job[] {
  const numbers = (text.match(/\d+/g) ?? []).map(Number)
  const at = (row: number, job: number) => {
    const value = numbers[(index * 3 + row) * jobs + job]
    if (value === undefined) throw new RangeError(`the file has no instance ${index} of ${jobs} jobs`)
    return value
  }
  return Array.from({ length: jobs }, (_, job) => ({ processing: at(0, job), weight: at(1, job), due: at(2, job) }))
}

/**
 * The planning problem whose `late` term is the total weighted tardiness. A job is one order line of as many containers
 * as its processing time, each a minute; together they hold its weight in litres, so that a day late costs its weight.
 */
export function weightedTardiness(text: string, index: number, jobs = 40): Problem {
  const list = tardinessJobs(text, index, jobs)
  const horizonDays = list.reduce((sum, { processing }) => sum + processing, 0)
  const weights = list.reduce((sum, { weight }) => sum + weight, 0)
  const id = (job: number) => `job-${job + 1}`
  return shopProblem({
    horizonDays,
    beers: [
      shopBeer(
        'all',
        list.map((_, job) => id(job)),
      ),
    ],
    containerTypes: list.map(({ processing, weight }, job) => ({
      id: id(job),
      kind: 'CASK',
      nominalLitres: weight / processing,
    })),
    filler: {
      minutesPerDay: 1,
      setupMinutes: 0,
      minutesEach: Object.fromEntries(list.map((_, job) => [id(job), 1])),
    },
    orderLines: list.map(({ processing, due }, job) => ({
      id: id(job),
      orderId: id(job),
      accountId: 'account',
      packId: id(job),
      quantity: processing,
      serveOn: shopDay(Math.min(due, horizonDays) - 1),
      priority: 3,
    })),
    // More than the lateness of all jobs together, for every litre.
    costs: { late: 1, unserved: weights * horizonDays },
  })
}
