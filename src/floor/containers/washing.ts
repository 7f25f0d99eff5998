// Returned containers that are washed: when they are clean.
import { addDays, type LocalDate } from '../../planner/documents/index.ts'

/** Containers that came back on a day and have not been said to be washed. Absent day: before the records go back. */
export interface Dirty {
  since?: LocalDate
  quantity: number
}

/** The day from which a container that came back is clean (C1); undefined where it was so long before it is not known. */
export function cleanFrom({ since }: Dirty, washDays: number): LocalDate | undefined {
  return since === undefined ? undefined : addDays(since, washDays)
}

/** How many are washed by the end of `day`, so that they are clean the next day (C1), if washing goes as the set-up says. */
export function dueWashing(dirty: readonly Dirty[], washDays: number, day: LocalDate): number {
  return dirty.reduce((sum, each) => {
    const from = cleanFrom(each, washDays)
    return from === undefined || from <= addDays(day, 1) ? sum + each.quantity : sum
  }, 0)
}
