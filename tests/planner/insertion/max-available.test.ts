// The greatest quantity that can be offered, on problems of every kind: so many are promised on that day, one more is not.
import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import type { OrderLine } from '../../../src/planner/documents/index.ts'
import { addDays, lineWithDefaults } from '../../../src/planner/documents/index.ts'
import { makePlan, openTrial } from '../../../src/planner/index.ts'
import { sampledNumbers } from '../../support/sampled.ts'

const SEEDS = sampledNumbers(201, 30, 6, 10)
const MOST = 60

describe.each(SEEDS)('problem %i', (seed) => {
  const problem = randomProblem(seed)
  const { plan } = makePlan(problem, { steps: 20 })
  const random = randomFrom(seed)
  const accountId = random.pick(problem.accounts).id
  const packs = problem.beers.flatMap((beer) => beer.packs).slice(0, 4)
  const first = random.int(0, Math.max(0, problem.horizonDays - 10))
  const days = Math.min(10, problem.horizonDays - first)
  const dayAt = (index: number) => addDays(problem.today, first + index)

  test.each(packs)('so many of $id are promised on each day, and one more is not', ({ id: packId }) => {
    const trial = openTrial(problem, plan)
    const line = (serveOn: string, quantity: number): OrderLine & { latestServeOn: string } => {
      const asked = { id: 'new', orderId: 'new', accountId, packId, quantity, serveOn }
      return { ...lineWithDefaults(asked), latestServeOn: serveOn }
    }
    const promised = (serveOn: string, quantity: number) =>
      trial.promise([line(serveOn, quantity)], { unexplained: true })[0]?.onTime
    const found = trial.maxAvailable({ ...line(dayAt(0), MOST), latestServeOn: dayAt(days - 1) })
    expect(found).toHaveLength(days)
    for (const [index, quantity] of found.entries()) {
      const serveOn = dayAt(index)
      if (quantity > 0) expect(promised(serveOn, quantity), `${quantity} on ${serveOn}`).toBe(true)
      if (quantity < MOST) expect(promised(serveOn, quantity + 1), `${quantity + 1} on ${serveOn}`).toBe(false)
    }
  })

  test('asking for quantities leaves no trace', () => {
    const trial = openTrial(problem, plan)
    const before = trial.commit([]).plan
    for (const { id: packId } of packs)
      trial.maxAvailable({
        ...lineWithDefaults({ id: 'new', orderId: 'new', accountId, packId, quantity: MOST, serveOn: dayAt(0) }),
        latestServeOn: dayAt(days - 1),
      })
    expect(trial.commit([]).plan).toEqual(before)
  })
})
