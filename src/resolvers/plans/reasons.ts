// Reasons as they are kept in the records.
import { planShape, type Reason } from '../../planner/documents/index.ts'

const shape = planShape.shape.unserved.element.shape.reasons

/** The planner's reasons from a JSON column. */
export function readReasons(value: unknown): Reason[] {
  return shape.parse(value)
}
