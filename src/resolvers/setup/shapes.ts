// Shapes that the inputs of set-up share. Limits of planning values stand in limits.ts.
import { z } from 'zod'
import { localDate } from '../../planner/documents/index.ts'
import { planned } from './limits.ts'

/** A time of day, `HH:mm`. */
export const timeOfDay = planned.site.brewEnds

/** A name that people read, or a code. */
export const name = z.string().trim().min(1).max(200)
/** The caller's own reference, where one is given. */
export const givenRef = z.string().trim().min(1).max(200)
/** The caller's own reference. */
export const externalRef = givenRef.optional()

/** Most days of a list of days. */
export const MOST_DAYS = 4000
/** A list of days; repetitions count once. */
export const listOfDays = z
  .array(localDate)
  .max(MOST_DAYS)
  .transform((days) => [...new Set(days)].sort())

/** ISO weekdays; repetitions count once. */
export const listOfWeekdays = planned.site.brewWeekdays.transform((days) => [...new Set(days)].sort((a, b) => a - b))
