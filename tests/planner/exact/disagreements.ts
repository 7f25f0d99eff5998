// One problem held against everything that says what its plans cost: the search, the checker, the exact model and the bounds.
import { cautious } from '../../../src/planner/bound/bound.ts'
import { instantBound } from '../../../src/planner/bound/instant-bound.ts'
import { type BoundPart, wholePart } from '../../../src/planner/bound/parts.ts'
import { relaxationOf } from '../../../src/planner/bound/relaxation.ts'
import { safeDualBound } from '../../../src/planner/bound/safe-dual-bound.ts'
import { COST_TERMS, type Plan, type Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, exactModel, makePlan, startFrom } from '../../../src/planner/index.ts'
import { solveModel } from '../../../src/solver/solve-exactly.ts'
import { solveLinear } from '../../../src/solver/solve-linear.ts'
import { above } from '../bound/relaxed-bounds.ts'

type Model = ReturnType<typeof exactModel>

/** How much is tried of one problem. */
export interface Effort {
  steps: number
  /** Seconds of each mixed-integer solve. */
  seconds: number
  /** Entries of the largest exact model that is solved. */
  mostEntries: number
}

/** What was tried, for those who count. */
export interface Tried {
  exact: 'NOT' | 'HELD' | 'UNSOLVED' | 'FEASIBLE' | 'OPTIMAL'
  pointed: boolean
  faults: string[]
}

/**
 * What disagrees, in words; nothing where all is well. The exact model's plan passes the checker at the cost that the model says;
 * the search's plan is a point of the exact model at its own cost; and no bound, proven or not, is above either plan.
 */
export async function disagreements(problem: Problem, effort: Effort): Promise<Tried> {
  const faults: string[] = []
  const tried: Tried = { exact: 'NOT', pointed: false, faults }
  const { plan } = makePlan(problem, { steps: effort.steps })
  const plans = [{ name: 'the search', cost: plan.cost.total }]
  const whole = wholePart(problem)
  const bounds = [{ name: 'per line', value: instantBound(whole).value }]
  const movedHeld = plan.moved?.some(({ reasons }) => reasons.some(({ rule }) => rule !== 'COST')) ?? false
  const parts = exactModel(problem)
  if (parts.model.entries <= effort.mostEntries) {
    const {
      status,
      plan: exact,
      objective,
      bound,
    } = await solveModel(parts, { timeLimitSeconds: effort.seconds, start: plan })
    tried.exact = status
    if (status === 'HELD' && !movedHeld) faults.push('the exact model holds what the search could keep')
    // Where the search moved what has to stay (F1), the exact model may speak of dearer plans.
    if (status !== 'HELD' && !movedHeld) bounds.push({ name: 'exact', value: cautious(bound) })
    if (exact) {
      plans.push({ name: 'the exact model', cost: exact.cost.total })
      faults.push(...faultsOfPlan(problem, exact, status === 'OPTIMAL' ? objective : undefined))
    }
    if (!movedHeld && parts.keeping.holds) faults.push(...(await faultsOfPoint(parts, plan, tried)))
  }
  bounds.push(...(await relaxedBounds(whole, effort)))
  for (const bound of bounds)
    for (const { name, cost } of plans)
      if (bound.value > above(cost))
        faults.push(`the bound ${bound.name} of ${bound.value} is above ${cost} of ${name}`)
  return tried
}

function faultsOfPlan(problem: Problem, plan: Plan, objective: Plan['cost'] | undefined): string[] {
  const { violations, cost } = checkPlan(problem, plan)
  const broken = violations.map((violation) => `the exact model's plan breaks ${JSON.stringify(violation)}`)
  const dear = objective
    ? COST_TERMS.filter((term) => Math.abs(objective.terms[term] - cost.terms[term]) > 0.05 + 1e-5 * cost.total).map(
        (term) => `${term} is ${objective.terms[term]} in the model and ${cost.terms[term]} by the checker`,
      )
    : []
  return [...broken, ...dear]
}

/** The search's plan with all its choices made, in the exact model. */
async function faultsOfPoint(parts: Model, plan: Plan, tried: Tried): Promise<string[]> {
  const point = startFrom(parts, plan)
  if (!point) return ['the exact model does not have what the search planned']
  const model = parts.model.build()
  for (const [column, value] of point) {
    model.lower[column] = value
    model.upper[column] = value
  }
  const { status, objective } = await solveLinear(model, { seconds: 5 })
  tried.pointed = status === 'OPTIMAL'
  if (status === 'INFEASIBLE' || status === 'FAILED') return [`the search's plan is ${status} in the exact model`]
  const cost = plan.cost.total
  if (status !== 'OPTIMAL' || Math.abs(objective! - cost) <= 0.05 + 1e-5 * cost) return []
  return [`the search's plan costs ${cost}, and ${objective} in the exact model`]
}

async function relaxedBounds(whole: BoundPart, { seconds }: Effort): Promise<{ name: string; value: number }[]> {
  const { orderLines } = whole.instance.problem
  const bucketDays = orderLines.length > 60 ? 3 : 1
  const linear = relaxationOf(whole, { wholeBrews: false, bucketDays })
  const { rowDuals } = await solveLinear(linear, { seconds })
  const aggregated = rowDuals ? [{ name: 'aggregated', value: cautious(safeDualBound(linear, rowDuals)) }] : []
  if (orderLines.length > 15) return aggregated
  const { bound } = await solveLinear(relaxationOf(whole, { wholeBrews: true, bucketDays }), { seconds })
  return [...aggregated, { name: 'with whole brews', value: cautious(bound) }]
}
