// The checker accepts a plan made by hand, and rejects every change that breaks a rule under that rule's number.
import { describe, expect, it } from 'vitest'
import { type Breakable, CHECKS, checkPlan, planCost } from '../../../src/planner/checker/check-plan.ts'
import { BREAKABLE } from '../../../src/planner/facts/violation.ts'
import { parsePlan, parseProblem } from '../../../src/planner/index.ts'
import { basePlan } from '../base/base-plan.ts'
import { baseProblem } from '../base/base-problem.ts'
import { MUTATIONS } from './rule-mutations.ts'

describe('checking a plan', () => {
  it('accepts a valid plan', () => {
    expect(checkPlan(baseProblem(), basePlan()).violations).toEqual([])
  })

  it('computes the cost that was worked out by hand, term by term', () => {
    const { total, terms } = planCost(baseProblem(), basePlan())
    const stated = basePlan().cost
    for (const [term, amount] of Object.entries(stated.terms))
      expect(terms, term).toHaveProperty(term, expect.closeTo(amount, 6))
    expect(total).toBeCloseTo(stated.total, 6)
  })

  it('accepts it after a journey through the parsers', () => {
    const parsed = parseProblem(JSON.parse(JSON.stringify(baseProblem())))
    if (!parsed.ok) throw new Error('the base problem has faults')
    const plan = parsePlan(JSON.parse(JSON.stringify(basePlan())), parsed.problem)
    if (!plan.ok) throw new Error('the base plan has faults')
    expect(checkPlan(parsed.problem, plan.plan).violations).toEqual([])
  })

  it.each(MUTATIONS)('rejects $name under $rule', ({ rule, change, also }) => {
    const problem = baseProblem()
    const plan = basePlan()
    change(plan, problem)
    if (rule !== 'COST') plan.cost = planCost(problem, plan) // so that only the rule in question is broken
    const broken = new Set(checkPlan(problem, plan).violations.map((found) => found.rule))
    expect([...broken].sort()).toEqual([rule, ...(also ?? [])].sort())
  })

  it('has a change for every rule of the registry, and a check for every rule number', () => {
    const checked = new Set(CHECKS.flatMap(({ rules }) => rules))
    const mutated = new Set<Breakable>(MUTATIONS.map(({ rule }) => rule))
    expect([...checked].filter((rule) => !mutated.has(rule))).toEqual([])
    expect(BREAKABLE.filter((rule) => !checked.has(rule))).toEqual([])
  })

  it('does not change what it is given', () => {
    const problem = baseProblem()
    const plan = basePlan()
    checkPlan(problem, plan)
    expect({ problem, plan }).toEqual({ problem: baseProblem(), plan: basePlan() })
  })
})
