// How long a search may take, as callers say it.
import { DEFAULT_SECONDS } from '../../resolvers/plans/effort.ts'
import { builder } from '../builder.ts'

/** An effort up to limits. */
export function effortInput(name: string, what: string, mostSeconds: number, mostSteps: number) {
  return builder.inputType(name, {
    description: `How long to search for ${what}; ${DEFAULT_SECONDS} seconds where nothing is given.`,
    isOneOf: true,
    fields: (t) => ({
      seconds: t.float({
        description: `Seconds from the beginning of the work to the plan, with its reasons and checks; 0 to ${mostSeconds}. As many searches make it as there are processors to spare.`,
      }),
      steps: t.int({
        description: `Steps of search; 0 to ${mostSteps.toLocaleString('en-GB')}. The same records, seed and steps give the same plan.`,
      }),
    }),
  })
}
