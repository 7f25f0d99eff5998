// L4: fillers are washed between wash groups within their minutes.
import { MINUTE_TOLERANCE } from '../../documents/tolerances.ts'
import type { Facts } from '../../facts/facts.ts'
import { fillerDays, showMinutes } from '../../facts/filler-days.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** L4: washing between wash groups fits into what runs and set-ups leave of the day; where they alone are too much, it is L1. */
export function washing(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { day, minutes, limit, filler, groups } of fillerDays(facts)) {
    const washed = (groups.size - 1) * filler.washMinutes
    if (minutes > limit + MINUTE_TOLERANCE || minutes + washed <= limit + MINUTE_TOLERANCE) continue
    const message = `filler "${filler.id}" works ${showMinutes(minutes)} minutes of ${limit}, and is washed for ${showMinutes(washed)}`
    found.push(violationOn(day, facts, 'L4', message, filler.id))
  }
  return found
}
