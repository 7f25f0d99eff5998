// A relief, applied to the problem document: so that a caller can verify it, and ask what it would change besides.

import { laterCutOff } from '../calendar/cut-off.ts'
import { addDays, minuteOfDay, wallClock } from '../calendar/days.ts'
import { instantAfter } from '../calendar/instants.ts'
import { applyChanges } from '../documents/changes/apply-changes.ts'
import type { Batch, OrderLine, Problem } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import { atSite } from './relief.ts'

/** What a reason says of a relief. */
export type Relief = Pick<Reason, 'resource' | 'relief'>

/**
 * The problem with the relief of a reason applied for a line. A reason without a relief, a relief of nothing, and a
 * relief of an order line that the problem does not have leave the problem as it is.
 */
export function applyRelief(problem: Problem, lineId: string, reason: Relief): Problem {
  const { relief, resource } = reason
  if (!relief || relief.amount <= 0) return problem
  const id = resource?.id ?? ''
  const { amount, by } = relief
  switch (relief.what) {
    case 'FILLER_MINUTES':
      if (by === undefined) return problem
      return applyChanges(problem, [{ kind: 'FILLER_MINUTES', fillerId: id, minutes: amount, on: by }])
    case 'CLEAN_CONTAINERS': {
      const fleet = problem.fleets.find((each) => atSite(each.siteId, each.containerTypeId) === id)
      if (!fleet) return problem
      const { siteId, containerTypeId } = fleet
      return applyChanges(problem, [{ kind: 'CONTAINERS', siteId, containerTypeId, quantity: amount, by }])
    }
    case 'STORE_LITRES': {
      const store = problem.stores.find((each) => atSite(each.siteId, each.climate) === id)
      if (!store) return problem
      return applyChanges(problem, [
        { kind: 'STORE_LITRES', siteId: store.siteId, climate: store.climate, litres: amount },
      ])
    }
    case 'ROUTE_LITRES':
      return {
        ...problem,
        routes: changed(
          problem.routes,
          (each) => each.id === id && each.capacityLitres !== undefined,
          (route) => ({ ...route, capacityLitres: (route.capacityLitres ?? 0) + amount }),
        ),
      }
    case 'CUT_OFF_LATER':
      return {
        ...problem,
        routes: changed(
          problem.routes,
          (each) => each.id === id,
          ({ cutOff, ...route }) => ({ ...route, cutOff: cutOff && laterCutOff(cutOff, amount) }),
        ),
      }
    case 'BREWS_PER_DAY':
      return {
        ...problem,
        sites: changed(
          problem.sites,
          (each) => each.id === id,
          (site) => ({ ...site, brewsPerDay: site.brewsPerDay + amount }),
        ),
      }
    case 'TRANSFERS_PER_DAY':
      return {
        ...problem,
        sites: changed(
          problem.sites,
          (each) => each.id === id && each.transfersPerDay !== undefined,
          (site) => ({ ...site, transfersPerDay: (site.transfersPerDay ?? 0) + amount }),
        ),
      }
    case 'BATCH_READY_EARLIER':
      return {
        ...problem,
        batches: changed(
          problem.batches,
          (each) => each.id === id,
          (batch) => readyEarlier(problem, batch, amount),
        ),
      }
    case 'BATCH_RELEASED':
      return {
        ...problem,
        batches: changed(
          problem.batches,
          (each) => each.id === id,
          (batch) => ({ ...batch, quarantined: false }),
        ),
      }
    case 'VESSEL_FREE':
      return applyChanges(problem, [{ kind: 'MORE_VESSELS', likeId: id, count: 1, availableFrom: by ?? problem.today }])
    default:
      return {
        ...problem,
        orderLines: changed(
          problem.orderLines,
          (each) => each.id === lineId,
          (line) => applyReliefToLine(line, reason),
        ),
      }
  }
}

/** The order line with the relief of a reason applied; unchanged where the relief is none of the order's. */
export function applyReliefToLine(line: OrderLine, { relief }: Relief): OrderLine {
  if (!relief || relief.amount <= 0) return line
  const { amount } = relief
  switch (relief.what) {
    case 'SPLIT_ALLOWED':
      return { ...line, splittable: true }
    case 'FEWER_CONTAINERS':
      return { ...line, quantity: line.quantity - amount }
    case 'SERVE_DAYS_LATER': {
      const serveOn = addDays(line.serveOn, amount)
      const promisedOn = line.promisedOn === undefined ? undefined : addDays(line.promisedOn, amount)
      const due = promisedOn !== undefined && promisedOn > serveOn ? promisedOn : serveOn
      return {
        ...line,
        serveOn,
        ...(promisedOn === undefined ? {} : { promisedOn }),
        ...(line.latestServeOn !== undefined && line.latestServeOn < due ? { latestServeOn: due } : {}),
      }
    }
    default:
      return line
  }
}

function changed<T>(list: T[], which: (each: T) => boolean, change: (each: T) => T): T[] {
  return list.map((each) => (which(each) ? change(each) : each))
}

/** The batch with a ready day (T1) that lies so many days earlier; a change of clocks between moves the hour, not the day. */
function readyEarlier(problem: Problem, batch: Batch, days: number): Batch {
  const vessel = problem.vessels.find((each) => each.id === batch.vesselId)
  const site = problem.sites.find((each) => each.id === vessel?.siteId)
  if (!site) return batch
  const readyDay = (instant: string) => {
    const { day, minute } = wallClock(instant, site.timeZone)
    return minute <= minuteOfDay(site.fillStarts) ? day : day + 1
  }
  const wanted = readyDay(batch.readyAt) - days
  for (const hours of [0, -1, 1, -2, 2]) {
    const readyAt = instantAfter(batch.readyAt, -days, hours)
    if (readyDay(readyAt) === wanted) return { ...batch, readyAt }
  }
  return batch
}
