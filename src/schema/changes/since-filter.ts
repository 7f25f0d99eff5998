// The filter of lists that have no other: what was changed since an instant.
import { z } from 'zod'
import { changedSince, changedSinceWords, updatedSince } from '../../resolvers/changes/updated.ts'
import { parseInput } from '../../resolvers/parse-input.ts'
import { builder } from '../builder.ts'
import type { Context } from '../context.ts'

export const SinceFilter = builder.inputType('SinceFilter', {
  description: 'Which things to list. What is not given does not filter.',
  fields: (t) => ({ changedSince: t.field({ type: 'DateTime', description: changedSinceWords('things') }) }),
})

const shape = z.strictObject({ filter: z.strictObject({ changedSince }).default({}) })

/** The condition of such a list. Throws `InvalidInput`. */
export function sinceWhere({ distributorId }: Context, args: { filter?: unknown }) {
  const { filter } = parseInput(shape, { filter: args.filter })
  return { distributorId, ...updatedSince(filter.changedSince) }
}
