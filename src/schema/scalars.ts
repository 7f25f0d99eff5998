// Scalars for days and instants. Whether the text from outside is a date that exists is said by the use-cases, which
// parse all input and answer all faults at once, each with its path; so the scalars let text through as it is.
import { GraphQLError } from 'graphql'
import { builder } from './builder.ts'

const MAX_LENGTH = 64

export const LocalDate = builder.scalarType('LocalDate', {
  description: 'A day of the local calendar, written YYYY-MM-DD, such as 2027-03-12.',
  serialize: (value) => (value instanceof Date ? value.toISOString().slice(0, 10) : value),
  parseValue: textOf,
})

export const DateTime = builder.scalarType('DateTime', {
  description: 'An instant (RFC 3339), with seconds and an offset, such as 2027-03-12T08:00:00Z.',
  serialize: (value) => (value instanceof Date ? value.toISOString() : value),
  parseValue: textOf,
})

function textOf(value: unknown): string {
  if (typeof value === 'string' && value.length <= MAX_LENGTH) return value
  throw new GraphQLError(`expected a short text, found ${JSON.stringify(value)?.slice(0, 60)}`)
}
