// Input from outside, parsed before anything happens: everything that is wrong with it is told at once.
import type { z } from 'zod'
import { InvalidInput, type Issue } from '../errors.ts'
import { shapeFaults } from '../planner/parse/shape-faults.ts'

/**
 * The input as a trusted value. A value that is null counts as not given, as GraphQL has it. Throws `InvalidInput`.
 */
export function parseInput<Shape extends z.ZodType>(shape: Shape, input: unknown): z.output<Shape> {
  const given = withoutNulls(input)
  const parsed = shape.safeParse(given)
  if (parsed.success) return parsed.data
  const [first, ...others]: Issue[] = shapeFaults(parsed.error.issues, given)
  if (!first) throw parsed.error
  throw new InvalidInput([first, ...others])
}

/**
 * The same, for the input of a change: null is kept, since there it takes an optional value away.
 */
export function parseChange<Shape extends z.ZodType>(shape: Shape, input: unknown): z.output<Shape> {
  const parsed = shape.safeParse(input)
  if (parsed.success) return parsed.data
  const [first, ...others]: Issue[] = shapeFaults(parsed.error.issues, input)
  if (!first) throw parsed.error
  throw new InvalidInput([first, ...others])
}

function withoutNulls(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutNulls)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(
    Object.entries(value).flatMap(([key, inner]) => (inner === null ? [] : [[key, withoutNulls(inner)]])),
  )
}
