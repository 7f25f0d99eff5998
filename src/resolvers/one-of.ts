// Inputs of which exactly one field is given, as the schema's one-of inputs.
import { z } from 'zod'

/** The shape of such an input: all fields are optional, and one of them is there. */
export function oneOf<Shape extends z.ZodRawShape>(shape: Shape) {
  const names = Object.keys(shape).join(', ')
  return z
    .strictObject(shape)
    .partial()
    .refine((given) => Object.values(given).filter((value) => value !== undefined).length === 1, {
      error: `names not exactly one of ${names}`,
    })
}
