// A relief, applied to the problem document: so that a caller can verify it, and ask what it would change besides.

import { laterCutOff } from '../calendar/cut-off.ts'
import { addDays, type LocalDate, minuteOfDay, wallClock } from '../calendar/days.ts'
import { instantAfter } from '../calendar/instants.ts'
import { applyChanges } from '../documents/changes/apply-changes.ts'
import type { Batch, OrderLine, Problem } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import type { ReliefCode } from '../documents/relief-units.ts'
import { atSite } from './relief.ts'

/** What a reason says of a relief. */
export type Relief = Pick<Reason, 'resource' | 'relief'>

/** How much of a relief, of which resource, from when on. */
interface Amount {
  id: string
  amount: number
  by: LocalDate | undefined
}

/** The reliefs that are none of the order's: what each changes in the problem. */
const ON_PROBLEM: Readonly<Partial<Record<ReliefCode, (problem: Problem, relief: Amount) => Problem>>> = {
  FILLER_MINUTES: (problem, { id, amount, by }) =>
    by === undefined
      ? problem
      : applyChanges(problem, [{ kind: 'FILLER_MINUTES', fillerId: id, minutes: amount, on: by }]),
  CLEAN_CONTAINERS: (problem, { id, amount, by }) => {
    const fleet = problem.fleets.find((each) => atSite(each.siteId, each.containerTypeId) === id)
    if (!fleet) return problem
    const { siteId, containerTypeId } = fleet
    return applyChanges(problem, [{ kind: 'CONTAINERS', siteId, containerTypeId, quantity: amount, by }])
  },
  STORE_LITRES: (problem, { id, amount }) => {
    const store = problem.stores.find((each) => atSite(each.siteId, each.climate) === id)
    if (!store) return problem
    const { siteId, climate } = store
    return applyChanges(problem, [{ kind: 'STORE_LITRES', siteId, climate, litres: amount }])
  },
  ROUTE_LITRES: (problem, { id, amount }) => ({
    ...problem,
    routes: changed(problem.routes, id, (route) =>
      route.capacityLitres === undefined ? route : { ...route, capacityLitres: route.capacityLitres + amount },
    ),
  }),
  CUT_OFF_LATER: (problem, { id, amount }) => ({
    ...problem,
    routes: changed(problem.routes, id, ({ cutOff, ...route }) => ({
      ...route,
      cutOff: cutOff && laterCutOff(cutOff, amount),
    })),
  }),
  BREWS_PER_DAY: (problem, { id, amount }) => ({
    ...problem,
    sites: changed(problem.sites, id, (site) => ({ ...site, brewsPerDay: site.brewsPerDay + amount })),
  }),
  TRANSFERS_PER_DAY: (problem, { id, amount }) => ({
    ...problem,
    sites: changed(problem.sites, id, (site) =>
      site.transfersPerDay === undefined ? site : { ...site, transfersPerDay: site.transfersPerDay + amount },
    ),
  }),
  BATCH_READY_EARLIER: (problem, { id, amount }) => ({
    ...problem,
    batches: changed(problem.batches, id, (batch) => readyEarlier(problem, batch, amount)),
  }),
  BATCH_RELEASED: (problem, { id }) => ({
    ...problem,
    batches: changed(problem.batches, id, (batch) => ({ ...batch, quarantined: false })),
  }),
  VESSEL_FREE: (problem, { id, by }) =>
    applyChanges(problem, [{ kind: 'MORE_VESSELS', likeId: id, count: 1, availableFrom: by ?? problem.today }]),
}

/**
 * The problem with the relief of a reason applied for a line. A reason without a relief, a relief of nothing, and a
 * relief of an order line that the problem does not have leave the problem as it is.
 */
export function applyRelief(problem: Problem, lineId: string, reason: Relief): Problem {
  const { relief, resource } = reason
  if (!relief || relief.amount <= 0) return problem
  const { what, amount, by } = relief
  const apply = ON_PROBLEM[what]
  if (apply) return apply(problem, { id: resource?.id ?? '', amount, by })
  return { ...problem, orderLines: changed(problem.orderLines, lineId, (line) => applyReliefToLine(line, reason)) }
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

/** A list with what has an id changed. */
function changed<T extends { id: string }>(list: readonly T[], id: string, change: (each: T) => T): T[] {
  return list.map((each) => (each.id === id ? change(each) : each))
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
