// Whether a plan asks no more of fleets, stores, fillers, routes and days than there is.
import { element } from './element.ts'
import { limitOn } from './model.ts'
import type { State } from './state.ts'
import { holds } from './stores-fleets.ts'
import { SLACK } from './units.ts'

/** Whether all that the state counts is within bounds (C1, S1, D1, L1, V1, V11); what is counted only where it can bind is within them else. */
export function isWithinLimits(state: State): boolean {
  const { sites, fillers, routes } = state.model
  return (
    holds(state) &&
    state.minutesUsed.every((days, filler) =>
      days.every((used, day) => used <= (fillers[filler]?.minutes[day] ?? 0)),
    ) &&
    state.routeUsed.every((days, index) => {
      const { capacity, capacityOnly } = element(routes, index)
      return days.every((used, day) => used <= limitOn(capacity, capacityOnly, day) + SLACK)
    }) &&
    state.brewsUsed.every((days, index) => {
      const { brewsPerDay, brewsOnly } = element(sites, index)
      return days.every((used, day) => used <= limitOn(brewsPerDay, brewsOnly, day))
    }) &&
    state.transfersUsed.every((days, index) => {
      const { transfersPerDay, transfersOnly } = element(sites, index)
      return days.every((used, day) => used <= limitOn(transfersPerDay, transfersOnly, day))
    })
  )
}
