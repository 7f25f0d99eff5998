// Calm replanning (F1, F2): after an event the new plan costs no more than the plain repair (drop what broke, place again),
// breaks no promise that the repair keeps, leaves what is frozen or fixed, and says what it moved and why.
import { describe, expect, it } from 'vitest'
import { BASELINE_EVENTS, randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { LONG, sampled, sampledNumbers } from '../../support/sampled.ts'

function brokenIn(plan: Plan): string[] {
  return (plan.brokenPromises ?? []).map(({ orderLineId }) => orderLineId)
}

/** Every line is promised for its day: then much can be broken. */
function allPromised(problem: Problem): Problem {
  return { ...problem, orderLines: problem.orderLines.map((line) => ({ ...line, promisedOn: line.serveOn })) }
}

describe.each(BASELINE_EVENTS)('a plan made anew after %s', (event) => {
  it('costs no more than the plain repair and breaks no promise that the repair keeps, by any seed (F2)', () => {
    let events = 0
    for (const kind of PROBLEM_KINDS) {
      for (const seed of sampled([1, 2], 1)) {
        const before = allPromised(randomProblem(seed, kind))
        const after = randomBaselineEvent(before, makePlan(before, { steps: 30, seed }).plan, seed, event)
        const repair = makePlan(after, { steps: 0 }).plan
        const plan = makePlan(after, { steps: 60, seed: 40 + seed }).plan
        expect(checkPlan(after, plan).violations, `${kind} ${seed}`).toEqual([])
        expect(plan.cost.total, `${kind} ${seed}`).toBeLessThanOrEqual(repair.cost.total + 0.01)
        const kept = new Set(brokenIn(repair))
        expect(
          brokenIn(plan).filter((id) => !kept.has(id)),
          `${kind} ${seed}`,
        ).toEqual([])
        events++
      }
    }
    expect(events).toBeGreaterThan(LONG ? 50 : 25)
  })
})

describe('a plan made anew where nothing happened', () => {
  it('is not costlier than the plan in force, and leaves all that is frozen or fixed (F1)', () => {
    for (const kind of PROBLEM_KINDS) {
      for (const seed of [5, 6]) {
        const problem = randomProblem(seed, kind)
        const { plan } = makePlan(problem, { steps: 60, seed })
        const fix = <T extends object>(list: T[]) =>
          list.map((each, at) => (at % 3 === 0 ? { ...each, fixed: true } : each))
        const baseline = {
          ...plan,
          brews: fix(plan.brews),
          transfers: fix(plan.transfers),
          fillRuns: fix(plan.fillRuns),
        }
        const again = { ...problem, frozenDays: 5, baseline }
        for (const steps of [0, 40]) {
          const anew = makePlan(again, { steps }).plan
          expect(anew.cost.total, `${kind} ${seed}`).toBeLessThanOrEqual(plan.cost.total + 0.01)
          const listed = new Map((anew.moved ?? []).map(({ kind: what, id, reasons }) => [`${what} ${id}`, reasons]))
          // What had to stay stayed; what else moved did so because that is cheaper.
          for (const reasons of listed.values()) expect(reasons.map(({ rule }) => rule)).toEqual(['COST'])
          const frozen = addDays(problem.today, 5)
          const stays = [
            ...baseline.brews.map(({ id, brewOn, fixed }) => ({ key: `BREW ${id}`, on: brewOn, fixed })),
            ...baseline.transfers.map(({ id, on, fixed }) => ({ key: `TRANSFER ${id}`, on, fixed })),
            ...baseline.fillRuns.map(({ id, on, fixed }) => ({ key: `FILL_RUN ${id}`, on, fixed })),
          ].filter(({ on, fixed }) => fixed || on < frozen)
          expect(stays.filter(({ key }) => listed.has(key)).map(({ key }) => key)).toEqual([])
        }
      }
    }
  })
})

describe('what a new plan says that it moved', () => {
  it('is every decision that is dropped or decided otherwise, once, each with a reason', () => {
    for (const seed of sampledNumbers(1, 6, 2)) {
      const before = sizedProblem({ lines: 40, vessels: 6, days: 35, seed })
      const standing = makePlan(before, { steps: 60 }).plan
      const after = randomBaselineEvent(before, standing, seed)
      const { plan } = makePlan(after, { steps: 60 })
      const moved = plan.moved ?? []
      // Section 8: churn counts exactly the decisions that are dropped or decided otherwise; other amounts are listed beside.
      const churn = plan.cost.terms.churn / 25
      expect(moved.length).toBeGreaterThanOrEqual(churn)
      expect(new Set(moved.map(({ kind, id }) => `${kind} ${id}`)).size).toBe(moved.length)
      for (const { reasons } of moved) expect(reasons.length).toBeGreaterThan(0)
    }
  })
})
