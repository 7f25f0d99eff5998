// E1: a relief that is shown is true. Applied to the problem document, the same planner serves the line on time beside
// all that the plan serves; one unit less, and it does not. The independent checker accepts the plan with the line in it.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, type ProblemKind, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { applyRelief, checkPlan, makePlan, openTrial, servedOnTime } from '../../../src/planner/index.ts'
import type { OrderLine, Plan, Problem, Reason } from '../../../src/planner/problem.ts'
import { RELIEF_CODES } from '../../../src/planner/relief/relief.ts'
import { withoutLine } from '../../../src/planner/relief/reopen.ts'

const seeds = (count: number) => Array.from({ length: count }, (_, index) => index + 1)

/** 100 overloaded problems: 27 plainly so, 63 by what binds, 10 sized with a fifth more load than there is of anything. */
const BINDING: readonly ProblemKind[] = PROBLEM_KINDS.filter((kind) => /^BINDING|^QUARANTINED|^SPLITTABLE/.test(kind))
const GENERATED: readonly { name: string; problem: () => Problem }[] = [
  ...seeds(27).map((seed) => ({ name: `OVERLOAD ${seed}`, problem: () => randomProblem(seed, 'OVERLOAD') })),
  ...BINDING.flatMap((kind) =>
    seeds(9).map((seed) => ({ name: `${kind} ${seed}`, problem: () => randomProblem(seed, kind) })),
  ),
  ...seeds(10).map((seed) => ({
    name: `sized ${seed}`,
    problem: () => sizedProblem({ lines: 40, vessels: 5, days: 35, seed, tightness: 1.2 }),
  })),
]

describe('every relief shown in 100 overloaded problems', () => {
  it('is put to 100 problems', () => {
    expect(GENERATED).toHaveLength(100)
  })

  it('serves its line on time when applied, and with one unit less does not', () => {
    const shown = new Map<string, number>()
    for (const { name, problem: generate } of GENERATED) {
      const problem = generate()
      const { plan } = makePlan(problem, { steps: 30 })
      for (const { lineId, reason } of reliefsOf(plan)) {
        const what = `${name}, line ${lineId}, ${JSON.stringify(reason.relief)} of ${reason.resource?.id}`
        shown.set(reason.relief?.what ?? '', (shown.get(reason.relief?.what ?? '') ?? 0) + 1)
        expect(servedOnTime(applyRelief(problem, lineId, reason), plan, lineId), what).toBe(true)
        expect(servedOnTime(applyRelief(problem, lineId, oneLess(reason)), plan, lineId), what).toBe(false)
      }
    }
    // Nearly every kind occurs; which rare one does not is up to the search.
    expect(shown.size).toBeGreaterThanOrEqual(RELIEF_CODES.length - 2)
  }, 120_000)

  it('lets the line be promised for its day, and the checker accepts the plan that keeps the promise', () => {
    let promised = 0
    for (const { name, problem: generate } of GENERATED.filter((_, index) => index % 3 === 0)) {
      const problem = generate()
      const { plan } = makePlan(problem, { steps: 30 })
      for (const { lineId, reason } of reliefsOf(plan)) {
        const what = `${name}, line ${lineId}, ${JSON.stringify(reason.relief)} of ${reason.resource?.id}`
        const relieved = applyRelief(problem, lineId, reason)
        expect(promiseOnTime(relieved, plan, lineId), what).toBe(true)
        expect(promiseOnTime(applyRelief(problem, lineId, oneLess(reason)), plan, lineId), what).toBe(false)
        promised++
      }
    }
    expect(promised).toBeGreaterThan(100)
  }, 120_000)
})

describe('the reasons of lines that are late or not served', () => {
  it('tell at most three reliefs, of whole units, or say that none was found or that none is needed', () => {
    for (const { name, problem } of GENERATED.slice(0, 20)) {
      const { plan } = makePlan(problem(), { steps: 30 })
      for (const { reasons, orderLineId } of [...plan.unserved, ...(plan.late ?? [])]) {
        const reliefs = reasons.filter((reason) => reason.relief)
        const said = reasons.some((reason) => reason.rule === 'COST' || reason.rule === 'E1')
        expect(reliefs.length > 0 || said, `${name}, line ${orderLineId}`).toBe(true)
        expect(reliefs.length).toBeLessThanOrEqual(3)
        for (const { relief, message } of reliefs) {
          expect(Number.isInteger(relief?.amount)).toBe(true)
          expect(relief?.amount).toBeGreaterThan(0)
          expect(message).toContain(relief?.by ?? '')
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

/** Is the line promised for its day, were it asked for anew in the plan without it? Whole, or split where it may be. */
function promiseOnTime(problem: Problem, plan: Plan, lineId: string): boolean {
  const line = problem.orderLines.find((each) => each.id === lineId)
  if (!line) throw new Error(`no line ${lineId}`)
  const others: Problem = {
    ...problem,
    frozenDays: problem.baseline ? problem.frozenDays : 0,
    orderLines: problem.orderLines.filter((each) => each.id !== lineId),
  }
  const trial = openTrial(others, withoutLine(problem, plan, lineId))
  const due = line.promisedOn ?? line.serveOn
  const onTime: OrderLine = { ...line, latestServeOn: [due, line.serveOn].sort()[1] }
  const forms = line.splittable ? [{ ...onTime, splittable: false }, onTime] : [onTime]
  return forms.some((form) => {
    const { answers, plan: kept } = trial.commit([form])
    const grown = { ...others, orderLines: [...others.orderLines, form] }
    expect(checkPlan({ ...grown, baseline: withoutLine(problem, plan, lineId) }, kept).violations).toEqual([])
    return answers[0].onTime
  })
}
