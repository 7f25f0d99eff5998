// E1: a relief that is shown is true. Applied to the problem document, the same planner serves the line on time beside
// all that the plan serves, and leaves that as it is; one unit less, and it does not. The independent checker accepts the
// plan with the line in it.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, type ProblemKind, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import type { OrderLine, Plan, Problem, Reason } from '../../../src/planner/documents/index.ts'
import { RELIEF_CODES } from '../../../src/planner/documents/relief-units.ts'
import { checkPlan, makePlan, openTrial, servedWith } from '../../../src/planner/index.ts'
import { LONG, sampled, WHOLE } from '../../support/sampled.ts'

const seeds = (count: number) => Array.from({ length: count }, (_, index) => index + 1)

/** 108 overloaded problems: 10 plainly so, 88 by what binds, 10 sized with a fifth more load than there is of anything. */
const BINDING: readonly ProblemKind[] = PROBLEM_KINDS.filter((kind) =>
  /^BINDING|^QUARANTINED_BATCHES|^SPLITTABLE|^DAY_LIMITS/.test(kind),
)
const ALL: readonly { name: string; problem: () => Problem }[] = [
  ...seeds(10).map((seed) => ({ name: `OVERLOAD ${seed}`, problem: () => randomProblem(seed, 'OVERLOAD') })),
  ...BINDING.flatMap((kind) =>
    seeds(8).map((seed) => ({ name: `${kind} ${seed}`, problem: () => randomProblem(seed, kind) })),
  ),
  ...seeds(10).map((seed) => ({
    name: `sized ${seed}`,
    problem: () => sizedProblem({ lines: 40, vessels: 5, days: 35, seed, tightness: 1.2 }),
  })),
]

const GENERATED = sampled(ALL, 6, 10)

describe('every relief shown in 108 overloaded problems', () => {
  it('is put to 108 problems, or to a sample of them', () => {
    expect(ALL).toHaveLength(108)
  })

  it('serves its line on time when applied, with all others as before, and with one unit less does not', () => {
    const shown = new Map<string, number>()
    for (const { name, problem: generate } of GENERATED) {
      const problem = generate()
      const { plan } = makePlan(problem, { steps: 30 })
      for (const { lineId, reason } of reliefsOf(plan)) {
        shown.set(reason.relief?.what ?? '', (shown.get(reason.relief?.what ?? '') ?? 0) + 1)
        expectTrue(`${name}, line ${lineId}`, problem, plan, lineId, reason)
      }
    }
    // Nearly every kind occurs in the long run; which rare one does not is up to the search.
    expect(shown.size).toBeGreaterThanOrEqual(LONG ? RELIEF_CODES.length - 2 : WHOLE ? 5 : 3)
  }, 120_000)
})

describe('a relief of a line whose containers others wait for, or that makes room for them', () => {
  // In these plans a relief was once offered that pushed another line out, or that one unit less would have done for.
  it.each(sampled([11, 17, 47, 49, 59, 69, 97], 2, 3))('is true in the overloaded house %i', (seed) => {
    const problem = sizedProblem({
      ...{ lines: 20 + (seed % 5) * 10, vessels: 4 + (seed % 3), days: 35 },
      ...{ seed, tightness: 1.3 },
    })
    const { plan } = makePlan(problem, { steps: 1000 })
    for (const { lineId, reason } of reliefsOf(plan)) expectTrue(`line ${lineId}`, problem, plan, lineId, reason)
  })
})

describe('a relief given with a promise', () => {
  it('is true of the line that was asked for', () => {
    let reliefs = 0
    for (const { problem: generate } of ALL.filter((_, index) => index % (LONG ? 8 : 16) === 0)) {
      const problem = generate()
      const { plan } = makePlan(problem, { steps: 30 })
      const based: Problem = { ...problem, baseline: plan, frozenDays: 1 }
      const trial = openTrial(based, plan)
      for (const like of problem.orderLines.slice(0, 10)) {
        const line: OrderLine = {
          ...like,
          id: 'asked',
          orderId: 'asked',
          quantity: 2 * like.quantity,
          promisedOn: undefined,
        }
        const asked: Problem = { ...based, orderLines: [...based.orderLines, line] }
        const limits = trial.promise([line]).flatMap((answer) => answer.limits)
        for (const reason of limits.filter(({ relief }) => relief)) {
          reliefs++
          expectTrue(`asked as ${like.id}`, asked, plan, line.id, reason)
        }
      }
    }
    expect(reliefs).toBeGreaterThan(LONG ? 20 : 10)
  })
})

describe('the reasons of lines that are late or not served', () => {
  it('tell at most three reliefs, of whole units, or say that none was found or that none is needed', () => {
    for (const { name, problem } of sampled(ALL.slice(0, 20), 3, 5)) {
      const { plan } = makePlan(problem(), { steps: 30 })
      for (const { reasons, orderLineId } of [...plan.unserved, ...(plan.late ?? [])]) {
        const reliefs = reasons.filter((reason) => reason.relief)
        const said = reasons.some((reason) => reason.rule === 'COST' || reason.rule === 'E1')
        expect(reliefs.length > 0 || said, `${name}, line ${orderLineId}`).toBe(true)
        expect(reliefs.length).toBeLessThanOrEqual(3)
        for (const { relief } of reliefs) {
          expect(Number.isInteger(relief?.amount)).toBe(true)
          expect(relief?.amount).toBeGreaterThan(0)
        }
      }
    }
  })
})

function reliefsOf(plan: Plan): { lineId: string; reason: Reason }[] {
  const lines = new Map([...plan.unserved, ...(plan.late ?? [])].map((each) => [each.orderLineId, each.reasons]))
  return [...lines].flatMap(([lineId, reasons]) =>
    reasons.filter((reason) => reason.relief).map((reason) => ({ lineId, reason })),
  )
}

function oneLess(reason: Reason): Reason {
  return reason.relief ? { ...reason, relief: { ...reason.relief, amount: reason.relief.amount - 1 } } : reason
}

/** The planner serves the line by the relief and leaves the others alone; by one unit less it does not serve it. */
function expectTrue(name: string, problem: Problem, plan: Plan, lineId: string, reason: Reason): void {
  const what = `${name}, ${JSON.stringify(reason.relief)} of ${reason.resource?.id}`
  const relieved = servedWith(problem, plan, lineId, reason)
  expect(relieved, what).toBeDefined()
  if (!relieved) return
  expect(checkPlan(relieved.problem, relieved.plan).violations, what).toEqual([])
  const { serveOn, promisedOn = serveOn, quantity } = lineOf(relieved.problem, lineId)
  const own = relieved.plan.deliveries.filter((each) => each.orderLineId === lineId)
  expect(
    own.flatMap((each) => each.from).reduce((sum, from) => sum + from.quantity, 0),
    what,
  ).toBe(quantity)
  for (const delivery of own) expect(delivery.serveOn <= promisedOn, what).toBe(true)
  expect(withoutLine(relieved.plan, lineId), what).toEqual(withoutLine(plan, lineId))
  expect(servedWith(problem, plan, lineId, oneLess(reason)), `${what}, one less`).toBeUndefined()
}

function lineOf(problem: Problem, lineId: string): OrderLine {
  const line = problem.orderLines.find(({ id }) => id === lineId)
  if (!line) throw new Error(`no line ${lineId}`)
  return line
}

/** Who else gets what, and when. */
function withoutLine(plan: Plan, lineId: string): string[] {
  return plan.deliveries
    .filter(({ orderLineId }) => orderLineId !== lineId)
    .map((delivery) => JSON.stringify(delivery))
    .sort()
}
