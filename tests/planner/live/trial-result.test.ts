// Lines that are promised what they were just answered are placed as they were tried: the plan is the same as if they had been
// placed a second time.
import { expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import type { OrderLine } from '../../../src/planner/documents/index.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { makePlan, type Trial } from '../../../src/planner/index.ts'
import type { Coming } from '../../../src/planner/live/live-plan.ts'
import { openLivePlan } from '../../../src/planner/live/open-live-plan.ts'
import { LONG, sampledNumbers } from '../../support/sampled.ts'

/** The lines with the days that the trial answers; none where one cannot be had. */
function promised(trial: Trial, lines: OrderLine[]): Coming[] {
  const answers = trial.promise(lines, { unexplained: true })
  const coming = lines.map((line, index) => {
    const { serveOn = null, served = 0 } = answers[index] ?? {}
    if (!serveOn || served < line.quantity) return undefined
    const wanted = { ...line, promisedOn: serveOn }
    return { wanted, placed: { ...wanted, latestServeOn: serveOn } }
  })
  const whole = coming.filter((each) => each !== undefined)
  return whole.length === lines.length ? whole : []
}

// Three hundred plans are opened twice: more than the usual half minute on a machine that does other work too.
test('whether lines are placed a second time makes no difference', { timeout: 240_000 }, () => {
  let together = 0
  for (const seed of sampledNumbers(1, 300, 40)) {
    const problem = randomProblem(seed)
    const packs = problem.beers.flatMap((beer) => beer.packs)
    if (problem.accounts.length === 0 || packs.length === 0) continue
    const { plan } = makePlan(problem, { steps: 10 })
    const random = randomFrom(seed)
    const accountId = random.pick(problem.accounts).id
    const lines = Array.from(
      { length: random.int(1, 3) },
      (_, index): OrderLine => ({
        id: `new-${index}`,
        orderId: 'new',
        accountId,
        packId: random.pick(packs).id,
        quantity: random.int(1, 3),
        serveOn: addDays(problem.today, random.int(0, problem.horizonDays - 1)),
        priority: 3,
        splittable: random.chance(0.3),
      }),
    )
    const once = openLivePlan({ ...problem, baseline: plan }, plan)
    const twice = openLivePlan({ ...problem, baseline: plan }, plan)
    const asTried = once.propose(new Set(), (trial) => promised(trial, lines))
    // Asked of the plan and not of the trial that is given, nothing is remembered.
    const anew = twice.propose(new Set(), () => promised(twice.trial, lines))
    expect([seed, asTried.answers, asTried.delta]).toEqual([seed, anew.answers, anew.delta])
    if (asTried.answers.length > 1) together += 1
  }
  expect(together).toBeGreaterThan(LONG ? 20 : 5)
})
