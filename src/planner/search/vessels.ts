// Who stands in which vessel when (V3): sorted stays per vessel, gaps between them, and what is done with beer that is
// left over. Left-over beer stays to the end of the horizon where it may and nobody needs the vessel, else it is dumped.
import { type Batch, deadline, earliestEnd, type Occupant } from './batch.ts'
import type { Model } from './model.ts'

/** Puts a stay in its place among those of its vessel. */
export function enter(stays: Occupant[], stay: Occupant): void {
  let at = stays.length
  while (at > 0 && stays[at - 1].start > stay.start) at--
  stays.splice(at, 0, stay)
}

/** Takes a stay out of its vessel. */
export function leave(stays: Occupant[], stay: Occupant): void {
  stays.splice(stays.indexOf(stay), 1)
}

/** The stay that follows, if any. */
export function successor(stays: Occupant[], stay: Occupant): Occupant | undefined {
  return stays[stays.indexOf(stay) + 1]
}

/** The stay before, if any. */
export function predecessor(stays: Occupant[], stay: Occupant): Occupant | undefined {
  return stays[stays.indexOf(stay) - 1]
}

/** May something planned stand in the vessel on all of these days (V3, out of service)? */
export function inService(model: Model, vessel: number, from: number, to: number): boolean {
  for (const span of model.vessels[vessel].outOfService) if (span.from <= to && span.to >= from) return false
  return true
}

/** Can something planned stand in the vessel from `from` to `to`, both included, beside who stands there (V3)? */
export function fits(model: Model, stays: Occupant[], vessel: number, from: number, to: number): boolean {
  const { turnaround, availableFrom } = model.vessels[vessel]
  if (from < availableFrom) return false
  for (const stay of stays) {
    if (stay.start < from ? earliestEnd(stay) + turnaround >= from : to + turnaround >= stay.start) return false
  }
  return inService(model, vessel, from, to)
}

/** Can a stay last to `to` (V3)? Beer that stands today may stay in a vessel that is out of service. */
export function canLast(model: Model, stays: Occupant[], stay: Occupant, to: number): boolean {
  if (to <= stay.end && !stay.batch.kept) return true
  const next = successor(stays, stay)
  if (next && to + model.vessels[stay.vessel].turnaround >= next.start) return false
  return stay.start < 0 || inService(model, stay.vessel, stay.start, to)
}

/** May beer left in the vessel of a stay stand there to the end of the horizon, given who follows? */
export function mayKeep(
  model: Model,
  batch: Batch,
  transferOn: number,
  stay: Occupant,
  next: Occupant | undefined,
): boolean {
  if (next || deadline(model, batch, transferOn) < model.horizon) return false
  return stay.start < 0 || inService(model, stay.vessel, stay.start, model.horizon - 1)
}
