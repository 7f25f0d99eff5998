// Input of which only the shape can be wrong, parsed before anything happens. Where more can be wrong, such as what the
// input names, read-input.ts reads it instead, so that all is found in the same go.
import type { z } from 'zod'
import { InvalidInput, type Issue, issue } from '../errors.ts'
import { shapeFaults, writePath } from '../planner/documents/index.ts'

/**
 * The input as a trusted value. A value that is null counts as not given, as in GraphQL. Throws `InvalidInput`.
 */
export function parseInput<Shape extends z.ZodType>(shape: Shape, input: unknown): z.output<Shape> {
  return parse(shape, withoutNulls(input))
}

function parse<Shape extends z.ZodType>(shape: Shape, given: unknown): z.output<Shape> {
  const parsed = shape.safeParse(given)
  const issues: Issue[] = [...unstorable(given, []), ...(parsed.success ? [] : shapeFaults(parsed.error.issues, given))]
  const [first, ...others] = issues
  if (first) throw new InvalidInput([first, ...others])
  if (!parsed.success) throw parsed.error
  return parsed.data
}

/** Text that no database column holds: with a NUL character. */
export function unstorable(value: unknown, steps: readonly PropertyKey[]): Issue[] {
  if (typeof value === 'string')
    return value.includes('\u0000') ? [issue(writePath(steps), 'BAD_TEXT', 'has a NUL character')] : []
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, inner]) =>
    unstorable(inner, [...steps, Array.isArray(value) ? Number(key) : key]),
  )
}

/** The value without what is null, as if it had not been given. */
export function withoutNulls(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutNulls)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(
    Object.entries(value).flatMap(([key, inner]) => (inner === null ? [] : [[key, withoutNulls(inner)]])),
  )
}
