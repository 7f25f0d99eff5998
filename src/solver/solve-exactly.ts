// The exact optimum of a small problem: its exact model (src/planner/exact), solved by HiGHS.
import type { Plan, Problem } from '../planner/documents/index.ts'
import { exactModel, readExactPlan, startFrom } from '../planner/index.ts'
import { solveLinear } from './solve-linear.ts'

export interface ExactOptions {
  timeLimitSeconds: number
  /** How much longer the solver may take before it is ended; its own default unless given. */
  overrunSeconds?: number
  /** Relative gap at which a plan counts as optimal; 1e-6 unless given. */
  gap?: number
  /** A valid plan to start from. */
  start?: Plan
  /** Hears of each better bound. */
  onBound?: (bound: number) => void
}

export interface ExactResult {
  /**
   * OPTIMAL: proved to the gap. FEASIBLE: stopped by time with a plan. UNSOLVED: stopped by time without one. HELD: what has
   * to stay of the plan in force (F1) cannot all stay, so that nothing is said.
   */
  status: 'OPTIMAL' | 'FEASIBLE' | 'UNSOLVED' | 'HELD'
  /** Cost of the plan as the checker counts it; infinity without one. */
  cost: number
  /** What the model itself makes of it: the same where it is optimal, else possibly more. */
  objective?: Plan['cost']
  /** No valid plan costs less. */
  bound: number
  plan?: Plan
}

const NOTHING = { cost: Number.POSITIVE_INFINITY, bound: Number.NEGATIVE_INFINITY } as const

/** Solves a parsed problem exactly. */
export async function solveExactly(problem: Problem, options: ExactOptions): Promise<ExactResult> {
  return solveModel(exactModel(problem), options)
}

/** Solves the exact model of a problem. */
export async function solveModel(
  parts: ReturnType<typeof exactModel>,
  { timeLimitSeconds, overrunSeconds, gap = 1e-6, start, onBound }: ExactOptions,
): Promise<ExactResult> {
  if (!parts.keeping.holds) return { status: 'HELD', ...NOTHING }
  const from = start && startFrom(parts, start)
  const result = await solveLinear(parts.model.build(), {
    seconds: timeLimitSeconds,
    overrunSeconds,
    gap,
    start: from,
    // What was learned at the root is worth more than a smaller model: cuts take most of the time.
    restart: false,
    onBound,
  })
  if (result.status === 'INFEASIBLE' && parts.instance.problem.baseline) return { status: 'HELD', ...NOTHING }
  if (result.status === 'INFEASIBLE' || result.status === 'FAILED')
    throw new Error(`HiGHS says ${result.status}, but dumping all beer and serving no line is always a plan`)
  if (!result.values) return { status: 'UNSOLVED', cost: Number.POSITIVE_INFINITY, bound: result.bound }
  const plan = readExactPlan(parts, result.values)
  const status = result.status === 'OPTIMAL' ? 'OPTIMAL' : 'FEASIBLE'
  const objective = parts.model.cost(result.values)
  return { status, cost: plan.cost.total, objective, bound: result.bound, plan }
}
