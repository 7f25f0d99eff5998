// A plan that is kept open while lines come and go, on problems of every kind: each change is reported whole, costs what the
// checker says, and leaves a plan that is the same when it is opened from its document; versions do not disturb each other.
import { beforeAll, describe, expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import type { OrderLine } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import type { LivePlan } from '../../../src/planner/live/live-plan.ts'
import { openLivePlan } from '../../../src/planner/live/open-live-plan.ts'
import { auditProposals } from '../../support/audit.ts'
import { sampledNumbers } from '../../support/sampled.ts'
import { someLines } from '../../support/some-lines.ts'

/** Seeds, and how many of the lines leave at each step. */
const PROBLEMS: [seed: number, leaving: number][] = [
  ...sampledNumbers(201, 24, 5, 10).map((seed): [number, number] => [seed, 0.15]),
  // A transfer that only kept beer pays no more once others came: its vessel is needed, or the rest of its beer is drawn.
  [1020, 0.3],
  [1053, 0.3],
  [1147, 0.3],
  [1150, 0.3],
  [1150, 0.15],
  // A wish that is placed anew because of those that left gives way to those that come.
  [1257, 0.15],
  [1265, 0.15],
]
const STEPS = 6

beforeAll(() => auditProposals())

/** What a version says of itself, and of lines that are asked for. */
function seen(version: LivePlan, asked: OrderLine[]): string {
  const ids = version.problem.orderLines.map(({ id }) => id).sort()
  return JSON.stringify([version.deliveries(ids), version.trial.promise(asked, { unexplained: true })])
}

describe.each(PROBLEMS)('problem %i, of which %d leaves at a time', (seed, leaving) => {
  test('what comes and goes is reported whole, and every version stays what it is', () => {
    const problem = randomProblem(seed)
    if (problem.accounts.length === 0) return
    const random = randomFrom(seed)
    const { plan } = makePlan({ ...problem, frozenDays: random.int(0, 3) }, { steps: 20 })
    let live = openLivePlan({ ...problem, baseline: plan, frozenDays: random.int(0, 3) }, plan)
    const asked = someLines(problem, seed, 'asked')
    const versions: [LivePlan, string][] = []
    for (let step = 0; step < STEPS; step++) {
      versions.push([live, seen(live, asked)])
      const { orderLines } = live.problem
      const without = new Set(orderLines.filter(() => random.chance(leaving)).map(({ id }) => id))
      // Some of those that leave come back, changed.
      const back = orderLines
        .filter(({ id }) => without.has(id) && random.chance(0.4))
        .map((line) => ({ ...line, quantity: random.int(1, line.quantity + 2) }))
      const lines = [...back, ...someLines(problem, seed * 100 + step, `new-${step}`)]
      const { answers, next } = live.propose(without, (trial) => {
        const days = trial.promise(lines, { unexplained: true })
        return lines.map((wanted, index) => {
          const { serveOn, served } = days[index] ?? { serveOn: null, served: 0 }
          if (!serveOn || served < wanted.quantity || random.chance(0.3)) return { placed: wanted, wanted }
          const promised = { ...wanted, promisedOn: serveOn }
          return { placed: { ...promised, latestServeOn: serveOn }, wanted: promised }
        })
      })
      expect(answers.map(({ orderLineId }) => orderLineId)).toEqual(lines.map(({ id }) => id))
      // Some proposals come to nothing.
      if (random.chance(0.8)) live = next
    }
    for (const [version, was] of random.shuffled(versions)) expect(seen(version, asked)).toBe(was)
  })
})
