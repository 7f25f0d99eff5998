// The shapes that inputs about orders share. Limits of planning values are the planner's own (problem.ts).
import { z } from 'zod'
import { localDate, problemShape } from '../../planner/documents/index.ts'
import { externalRef } from '../setup/shapes.ts'
import { thingRef } from '../thing-ref.ts'

const planned = problemShape.shape.orderLines.element.shape

/** Most lines of one order, or of one question. */
export const MOST_LINES = 200

/** What is accepted with an order. */
export const accept = z.enum(['ON_TIME_ONLY', 'LATER', 'AS_DEMAND'])
export type Accept = z.infer<typeof accept>

/** What can be accepted, in words. */
export const WAYS_TO_ACCEPT = `${accept.options.slice(0, -1).join(', ')} or ${accept.options.at(-1)}`

/** What people want to remember. */
export const note = z.string().trim().min(1).max(2000)

/** So many of one pack; its own serve day goes before the order's. */
export const askedLine = z.strictObject({
  pack: thingRef,
  quantity: planned.quantity,
  serveOn: localDate.optional(),
  latestServeOn: localDate.optional(),
  priority: planned.priority,
  splittable: planned.splittable,
})
export type AskedLine = z.output<typeof askedLine>

/** A line of an order as it is placed. */
export const newLine = askedLine.extend({ externalRef })
export type NewLine = z.output<typeof newLine>

/** A value that is not given where it is null, in an input in which null takes other values away. */
export function unlessNull<Shape extends z.ZodType>(shape: Shape) {
  return shape.nullish().transform((value) => value ?? undefined)
}

/** What to change of a line. Null takes away its latest day; elsewhere it counts as not given. */
export const changedLine = z.strictObject({
  line: thingRef,
  pack: unlessNull(thingRef),
  quantity: unlessNull(planned.quantity),
  serveOn: unlessNull(localDate),
  latestServeOn: localDate.nullish(),
  priority: unlessNull(planned.priority.unwrap()),
  splittable: unlessNull(planned.splittable.unwrap()),
})
