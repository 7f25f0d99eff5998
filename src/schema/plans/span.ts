// Days between which a list is wanted.
import { z } from 'zod'
import { dateOf } from '../../database/calendar-day.ts'
import { InvalidInput, issue } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import { parseInput } from '../../resolvers/parse-input.ts'
import { builder } from '../builder.ts'

/** Arguments that cut a list to days. */
export const spanArgs = builder.args((t) => ({
  from: t.field({ type: 'LocalDate', description: 'The first day that is wanted. Absent: the first of the plan.' }),
  to: t.field({ type: 'LocalDate', description: 'The last day that is wanted. Absent: the last of the plan.' }),
}))

const shape = z.strictObject({ from: localDate.optional(), to: localDate.optional() })

type Given = { from?: string | null; to?: string | null }

/** The days as such. Throws `InvalidInput`. */
export function spanOf({ from, to }: Given) {
  const span = parseInput(shape, { from, to })
  if (span.from !== undefined && span.to !== undefined && span.to < span.from)
    throw new InvalidInput([issue('to', 'SPAN_REVERSED', `${span.to} is before ${span.from}`)])
  return span
}

/** The same as a condition of rows. */
export function between(args: Given) {
  const { from, to } = spanOf(args)
  return { ...(from === undefined ? {} : { gte: dateOf(from) }), ...(to === undefined ? {} : { lte: dateOf(to) }) }
}
