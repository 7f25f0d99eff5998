// Wishes give way to promises: as few as needed, the least important first, never a promised line; and asking says the same as
// doing. Shown on the last casks, where it can be counted, and on problems of every kind.
import { beforeAll, describe, expect, test } from 'vitest'
import { LAST_CASKS, LAST_CASKS_SERVE_IN, lastCasksScenario } from '../../../seeds/last-casks.ts'
import { randomFrom } from '../../../seeds/random.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import type { OrderLine, Plan, Problem } from '../../../src/planner/documents/index.ts'
import { addDays, deliveredByLine } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import type { Coming, LivePlan } from '../../../src/planner/live/live-plan.ts'
import { openLivePlan } from '../../../src/planner/live/open-live-plan.ts'
import type { Trial } from '../../../src/planner/live/trial.ts'
import { auditProposals } from '../../support/audit.ts'
import { sampledNumbers } from '../../support/sampled.ts'
import { someLines } from '../../support/some-lines.ts'

beforeAll(() => auditProposals())

const TODAY = '2027-03-01'
const SERVE_ON = addDays(TODAY, LAST_CASKS_SERVE_IN)

function casks(id: string, quantity: number, priority: 1 | 2 | 3 = 3): OrderLine {
  const line = { orderId: id, accountId: 'A-1', packId: 'ale-firkin', serveOn: SERVE_ON, splittable: false }
  return { ...line, id, quantity, priority }
}

/** The lines as wishes. */
const wished = (lines: readonly OrderLine[]) => () => lines.map((line): Coming => ({ placed: line, wanted: line }))

/** The lines, promised for the days that the trial answers; throws where one cannot be had. */
const promised = (lines: readonly OrderLine[]) => (trial: Trial) => {
  const answers = trial.promise([...lines], { unexplained: true })
  return lines.map((line, index): Coming => {
    const { served = 0, serveOn = null } = answers[index] ?? {}
    if (served < line.quantity || serveOn === null) throw new Error('it cannot be had')
    const wanted = { ...line, promisedOn: serveOn }
    return { wanted, placed: { ...wanted, latestServeOn: serveOn }, promisedNow: true }
  })
}

function lastCasks(...wishes: OrderLine[]): LivePlan {
  const { problem } = lastCasksScenario(TODAY, 'Etc/UTC')
  const { plan } = makePlan(problem, { steps: 0 })
  return openLivePlan({ ...problem, baseline: plan }, plan).propose(new Set(), wished(wishes)).next
}

const ids = (proposal: { gaveWay: readonly { orderLineId: string }[] }) =>
  proposal.gaveWay.map(({ orderLineId }) => orderLineId).sort()

describe('of the last casks', () => {
  const live = lastCasks(casks('one', 10, 1), casks('two', 10, 2), casks('three-a', 10), casks('three-b', 10))
  const give = (quantity: number) => live.propose(new Set(), promised([casks('firm', quantity)]))

  test('all are held by wishes; a promise for their day gets what it needs of them, the least important first', () => {
    expect(give(5)).toMatchObject({ answers: [{ serveOn: SERVE_ON, served: 5 }] })
    expect(ids(give(5))).toHaveLength(1)
    expect(ids(give(5))[0]).toMatch(/^three/)
    expect(ids(give(15))).toEqual(['three-a', 'three-b'])
    expect(ids(give(25))).toEqual(['three-a', 'three-b', 'two'])
    expect(ids(give(LAST_CASKS))).toEqual(['one', 'three-a', 'three-b', 'two'])
    expect(give(LAST_CASKS)).toMatchObject({ answers: [{ serveOn: SERVE_ON, served: LAST_CASKS }] })
  })

  test('what gave way is answered with the day before and the later day after, and its line is still wanted', () => {
    const { gaveWay, next } = give(5)
    expect(gaveWay).toMatchObject([{ before: { serveOn: SERVE_ON, served: 10 }, after: { served: 10 } }])
    expect((gaveWay[0]?.after.serveOn ?? '') > SERVE_ON).toBe(true)
    expect(next.problem.orderLines.map(({ id }) => id)).toEqual(['firm', 'one', 'three-a', 'three-b', 'two'])
  })

  test('another wish gets only what is left', () => {
    const wish = casks('wish', 5, 1)
    const proposal = live.propose(new Set(), wished([wish]))
    expect(proposal.gaveWay).toEqual([])
    expect((proposal.answers[0]?.serveOn ?? '') > SERVE_ON).toBe(true)
  })

  test('what is promised does not give way, whatever its priority', () => {
    const kept = give(30).next
    expect(() => kept.propose(new Set(), promised([{ ...casks('more', 11, 1), latestServeOn: SERVE_ON }]))).toThrow(
      'it cannot be had',
    )
    expect(ids(kept.propose(new Set(), promised([casks('more', 10, 1)])))).toEqual(['one'])
  })

  test('a line that would be served later in any case takes nothing from a wish', () => {
    const later = { ...casks('later', 5), serveOn: addDays(SERVE_ON, 12) }
    expect(live.propose(new Set(), promised([later])).gaveWay).toEqual([])
  })

  test('asking says the same and changes nothing: the day, the lines that give way, and what can be offered', () => {
    const before = JSON.stringify(live.plan)
    for (const quantity of [5, 15, 25, LAST_CASKS, LAST_CASKS + 1]) {
      const asked = [casks('asked', quantity)]
      const [answer] = live.trial.promise(asked, { unexplained: true })
      expect(answer?.onTime).toBe(quantity <= LAST_CASKS)
      const { answers, gaveWay } = live.propose(new Set(), promised(asked))
      expect(answers[0]?.serveOn).toBe(answer?.serveOn)
      expect(live.trial.gaveWay(asked)).toEqual(gaveWay)
    }
    const most = live.trial.maxAvailable({ ...casks('asked', 1000), latestServeOn: SERVE_ON })
    expect(most).toEqual([LAST_CASKS])
    expect(JSON.stringify(live.plan)).toBe(before)
  })
})

/** How the promised lines of a plan are served; the others by their ids. */
function promisedIn({ problem, plan }: { problem: Problem; plan: Plan }): Map<string, string> {
  const served = deliveredByLine(plan.deliveries)
  return new Map(
    problem.orderLines
      .filter(({ promisedOn }) => promisedOn !== undefined)
      .map(({ id }) => [id, JSON.stringify(served.get(id))]),
  )
}

test('wishes and promises come in any order: plans keep all rules, no promise is touched, and asking says what is done', {
  timeout: 240_000,
}, () => {
  let givenWay = 0
  // 350, 355: lines that take beer from each other in turn.
  for (const seed of new Set([...sampledNumbers(301, 120, 6, 12), 350, 355])) {
    const problem = randomProblem(seed)
    if (problem.accounts.length === 0 || problem.beers.length === 0) continue
    const random = randomFrom(seed)
    const { plan } = makePlan(problem, { steps: 10 })
    let live = openLivePlan({ ...problem, baseline: plan, frozenDays: random.int(0, 3) }, plan)
    for (let step = 0; step < 6; step++) {
      const lines = someLines(problem, seed * 10 + step, `new-${step}`, 1)
      if (random.chance(0.4)) {
        const { next, gaveWay } = live.propose(new Set(), wished(lines))
        expect(gaveWay).toEqual([])
        live = next
        continue
      }
      const asked = live.trial.promise(lines, { unexplained: true })
      if (!asked.every(({ served, quantity }) => served === quantity)) continue
      const inTrial = live.trial.gaveWay(lines)
      const before = promisedIn(live)
      const { answers, came, next, gaveWay } = live.propose(new Set(), promised(lines))
      const days = (each: readonly { serveOn: string | null }[]) => each.map(({ serveOn }) => serveOn ?? '')
      expect([seed, days(answers).every((day, index) => day <= (days(asked)[index] ?? ''))]).toEqual([seed, true])
      expect([seed, came.map(({ promisedOn }) => promisedOn)]).toEqual([seed, days(answers)])
      expect([seed, gaveWay]).toEqual([seed, inTrial])
      const after = promisedIn(next)
      for (const [id, served] of before) expect([seed, id, after.get(id)]).toEqual([seed, id, served])
      expect(ids({ gaveWay }).filter((id) => after.has(id))).toEqual([])
      givenWay += gaveWay.length
      live = next
    }
  }
  expect(givenWay).toBeGreaterThan(5)
})
