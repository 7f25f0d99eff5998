// A problem in the payload of a job: as it was when the job was asked for, and just as the planner had it then.
import { z } from 'zod'
import type { Plan, Problem, ProblemChange } from '../../planner/documents/index.ts'
import type { Bound } from '../../planner/index.ts'
import { boundKindShape } from '../../solver/progress.ts'

const isObject = (value: unknown) => typeof value === 'object' && value !== null

/** The thread that plans it parses it, and says what is wrong with it in words: so here it is only looked at. */
export const storedProblem = z.custom<Problem>(isObject)

/** A plan that the checker has passed. */
export const storedPlan = z.custom<Plan>(isObject)

/** A change as a use-case found it. */
export const storedChange = z.custom<ProblemChange>(isObject)

export const storedBound: z.ZodType<Bound> = z.strictObject({ value: z.number(), kind: boundKindShape })

/** The effort of a search, by steps or by the clock. */
export const storedEffort = z.strictObject({
  seed: z.int(),
  steps: z.int().optional(),
  seconds: z.number().optional(),
})
