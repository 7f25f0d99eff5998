// Which batch stands in which vessel when (V3): sorted stays per vessel, gaps between them, and what is done with beer that is
// left over. Left-over beer stays to the end of the horizon where it may, no batch needs the vessel, and that costs no more, else it is dumped.
import type { Batch, Occupant } from './batch.ts'
import { type Model, TERM, type VesselModel } from './model.ts'
import { deadline, earliestEnd } from './sizing.ts'

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
  const at = stays.indexOf(stay)
  // A look before the first of a list is slow.
  return at > 0 ? stays[at - 1] : undefined
}

/** Vessels by how little they must hold, of like ones the largest first. */
export function byLeastFill(models: readonly VesselModel[], vessels: readonly number[]): number[] {
  return [...vessels].sort((a, b) => models[a].minFill - models[b].minFill || models[b].capacity - models[a].capacity)
}

/** May something planned stand in the vessel on all of these days (V3, out of service)? */
export function inService(model: Model, vessel: number, from: number, to: number): boolean {
  for (const span of model.vessels[vessel].outOfService) if (span.from <= to && span.to >= from) return false
  return true
}

/** Can something planned stand in the vessel from `from` to `to`, both included, beside the other stays there (V3)? */
export function fits(model: Model, stays: Occupant[], vessel: number, from: number, to: number): boolean {
  const { turnaround, availableFrom } = model.vessels[vessel]
  if (from < availableFrom) return false
  for (let at = stays.length - 1; at >= 0; at--) {
    const stay = stays[at]
    if (stay.start < from) {
      // Those before it were gone when it came.
      if (earliestEnd(stay) + turnaround >= from) return false
      break
    }
    if (to + turnaround >= stay.start) return false
  }
  return inService(model, vessel, from, to)
}

/** Last day to which something planned that enters on `from` can stand, as `fits` says; -1 where not even on that day. */
export function fitsTo(model: Model, stays: Occupant[], vessel: number, from: number): number {
  const { turnaround, availableFrom, outOfService } = model.vessels[vessel]
  if (from < availableFrom) return -1
  let to = Number.POSITIVE_INFINITY
  for (let at = stays.length - 1; at >= 0; at--) {
    const stay = stays[at]
    if (stay.start < from) {
      if (earliestEnd(stay) + turnaround >= from) return -1
      break
    }
    to = stay.start - turnaround - 1
  }
  for (const span of outOfService) if (span.to >= from && span.from <= to) to = span.from - 1
  return to >= from ? to : -1
}

/** Can a stay last to `to` (V3)? Beer that stands today may stay in a vessel that is out of service. */
export function canLast(model: Model, stays: Occupant[], stay: Occupant, to: number): boolean {
  if (to <= stay.end && !stay.batch.kept) return true
  const next = successor(stays, stay)
  if (next && to + model.vessels[stay.vessel].turnaround >= next.start) return false
  return stay.start < 0 || inService(model, stay.vessel, stay.start, to)
}

/** Last day to which a stay can last (V3): `canLast` says yes up to it and no after it. */
export function lastsTo(model: Model, stays: Occupant[], stay: Occupant): number {
  const next = successor(stays, stay)
  let to = next ? next.start - model.vessels[stay.vessel].turnaround - 1 : Number.POSITIVE_INFINITY
  if (stay.start >= 0) {
    for (const span of model.vessels[stay.vessel].outOfService)
      if (span.to >= stay.start && span.from <= to) to = span.from - 1
  }
  return stay.batch.kept ? to : Math.max(to, stay.end)
}

/** Does a litre that is kept to the end of the horizon cost no more than one that is dumped? So it is at the usual prices. */
export function keepingPays({ rates }: Model): boolean {
  return rates[TERM.unsold] <= rates[TERM.dumped]
}

/** May beer left in the vessel of a stay stand there to the end of the horizon, given the stay that follows, and is it worth it? */
export function mayKeep(
  model: Model,
  batch: Batch,
  transferOn: number,
  stay: Occupant,
  next: Occupant | undefined,
): boolean {
  if (next || !keepingPays(model) || deadline(model, batch, transferOn) < model.horizon) return false
  return stay.start < 0 || inService(model, stay.vessel, stay.start, model.horizon - 1)
}
