// The scenarios of a comparison as they are kept in its row: what is tried out, and its outcome.
import { z } from 'zod'
import { costsShape, type Plan, type Problem } from '../../planner/documents/index.ts'
import { type Bound, gapOf, serviceOf } from '../../planner/index.ts'
import { boundKindShape } from '../../solver/progress.ts'

const amount = z.number()

const outcomeShape = z.strictObject({
  costTotal: amount,
  costTerms: costsShape,
  /** Null: none was found. */
  lowerBound: amount.nullable(),
  boundKind: boundKindShape.nullable(),
  gap: amount.nullable(),
  service: z.strictObject({
    litresWanted: amount,
    litresOnTime: amount,
    litresLate: amount,
    litresUnserved: amount,
    lines: amount,
    linesOnTime: amount,
    /** Null: it was planned before they were counted. */
    linesLate: amount.nullable().default(null),
    linesUnserved: amount.nullable().default(null),
    brokenPromises: amount,
    brews: amount,
    litresDumped: amount,
  }),
})

const scenarioShape = z.strictObject({
  name: z.string(),
  /** In words, one for each change; none for the records as they are. */
  changes: z.array(z.string()),
  /** Null: not planned yet, or it failed. */
  outcome: outcomeShape.nullable(),
  /** Why it could not be planned. Null: it was, or its turn has not come. */
  failure: z.string().nullable(),
})

export type Outcome = z.infer<typeof outcomeShape>
export type Scenario = z.infer<typeof scenarioShape>

/** The scenarios in a JSON column. */
export function readScenarios(value: unknown): Scenario[] {
  return z.array(scenarioShape).parse(value)
}

/** What a plan for a scenario's problem costs, and whom it serves. */
export function outcomeOf(problem: Problem, plan: Plan, bound: Bound | undefined): Outcome {
  const { total, terms } = plan.cost
  return {
    costTotal: total,
    costTerms: terms,
    lowerBound: bound?.value ?? null,
    boundKind: bound?.kind ?? null,
    gap: bound ? gapOf(total, bound.value) : null,
    service: serviceOf(problem, plan),
  }
}
