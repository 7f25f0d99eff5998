// A relief, applied to the problem document: so that a caller can verify it, and ask what it would change besides.
import { addDays, minuteOfDay, wallClock } from '../days.ts'
import type { Batch, OrderLine, Problem, Reason, Vessel } from '../problem.ts'
import { atSite } from './relief.ts'

type Told = Pick<Reason, 'resource' | 'relief'>
type Relief = NonNullable<Reason['relief']>

/**
 * The problem with the relief of a reason applied for a line. A reason without a relief, a relief of nothing, and a
 * relief of an order line that the problem does not have leave the problem as it is.
 */
export function applyRelief(problem: Problem, lineId: string, reason: Told): Problem {
  const { relief, resource } = reason
  if (!relief || relief.amount <= 0) return problem
  const id = resource?.id ?? ''
  const { amount, by } = relief
  switch (relief.what) {
    case 'FILLER_MINUTES':
      return {
        ...problem,
        fillers: changed(
          problem.fillers,
          (each) => each.id === id,
          (filler) => moreMinutes(filler, relief),
        ),
      }
    case 'CLEAN_CONTAINERS':
      return {
        ...problem,
        fleets: changed(
          problem.fleets,
          (each) => atSite(each.siteId, each.containerTypeId) === id,
          (fleet) => moreClean(fleet, problem.today, relief),
        ),
      }
    case 'STORE_LITRES':
      return {
        ...problem,
        stores: changed(
          problem.stores,
          (each) => atSite(each.siteId, each.climate) === id,
          (store) => ({ ...store, capacityLitres: store.capacityLitres + amount }),
        ),
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
    case 'BREWS_PER_DAY':
      return {
        ...problem,
        sites: changed(
          problem.sites,
          (each) => each.id === id,
          (site) => ({ ...site, brewsPerDay: site.brewsPerDay + amount }),
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
      return oneMoreVessel(problem, id, by ?? problem.today)
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
export function applyReliefToLine(line: OrderLine, { relief }: Told): OrderLine {
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

function moreMinutes(filler: Problem['fillers'][number], { amount, by }: Relief): Problem['fillers'][number] {
  if (by === undefined) return filler
  return {
    ...filler,
    minutesOn: { ...filler.minutesOn, [by]: (filler.minutesOn?.[by] ?? filler.minutesPerDay) + amount },
  }
}

/** C1: clean today is counted; clean later comes back so much earlier that it is washed by the day. */
function moreClean(fleet: Problem['fleets'][number], today: string, { amount, by }: Relief): Problem['fleets'][number] {
  if (by === undefined || by <= today) return { ...fleet, cleanNow: fleet.cleanNow + amount }
  return {
    ...fleet,
    returns: [...(fleet.returns ?? []), { on: addDays(by, -(fleet.washDays ?? 0)), quantity: amount }],
  }
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
  const start = new Date(batch.readyAt).getTime() - days * 86_400_000
  for (const hours of [0, -1, 1, -2, 2]) {
    const readyAt = new Date(start + hours * 3_600_000).toISOString()
    if (readyDay(readyAt) === wanted) return { ...batch, readyAt }
  }
  return batch
}

/** One more vessel like `likeId`, free from a day on; beers that may use the one may use the other. */
function oneMoreVessel(problem: Problem, likeId: string, from: string): Problem {
  const like = problem.vessels.find((each) => each.id === likeId)
  if (!like) return problem
  const { id: _id, outOfService: _out, ...rest } = like
  const id = unusedId(problem.vessels, `one-more-${likeId}`)
  return {
    ...problem,
    vessels: [...problem.vessels, { ...rest, id, availableFrom: from }],
    beers: problem.beers.map((beer) =>
      beer.vesselIds?.includes(likeId) ? { ...beer, vesselIds: [...beer.vesselIds, id] } : beer,
    ),
  }
}

function unusedId(vessels: Vessel[], wish: string): string {
  let id = wish
  for (let number = 2; vessels.some((each) => each.id === id); number++) id = `${wish}-${number}`
  return id
}
