// A problem as an older checkout reads it too: a field that came later is left out where it says what its absence does.
import { isDeepStrictEqual } from 'node:util'
import { z } from 'zod'
import { type Problem, problemShape } from '../../../src/planner/documents/problem.ts'

/** The problem as a document without whatever is its default: read again, it is the same problem. */
export function leaveOutDefaults(problem: Problem): unknown {
  return without(problemShape, problem)
}

function without(shape: unknown, value: unknown): unknown {
  if (shape instanceof z.ZodOptional || shape instanceof z.ZodDefault) return without(shape.unwrap(), value)
  if (shape instanceof z.ZodArray && Array.isArray(value)) return value.map((each) => without(shape.element, each))
  if (!(shape instanceof z.ZodObject) || typeof value !== 'object' || value === null) return value
  const fields: Readonly<Record<string, unknown>> = shape.shape
  const isDefault = (field: unknown, each: unknown) =>
    field instanceof z.ZodDefault && isDeepStrictEqual(field.parse(undefined), each)
  return Object.fromEntries(
    Object.entries(value).flatMap(([key, each]) =>
      isDefault(fields[key], each) ? [] : [[key, without(fields[key], each)]],
    ),
  )
}
