// Set-up rows as the set-up part of a problem. Retired things that something still names are read so that nothing new
// can be planned with them. Lists are in the order of their ids.

import { dayOf } from '../database/calendar-day.ts'
import { inWholeMillilitres } from '../floor/container-volumes.ts'
import {
  type Account,
  addDays,
  type Beer,
  type Filler,
  type Fleet,
  type LocalDate,
  laterOf,
  type Problem,
  type Route,
  type Site,
  type Vessel,
} from '../planner/documents/index.ts'
import type { SetupRows } from './setup-rows.ts'

export type SetupPart = Pick<
  Problem,
  'sites' | 'vessels' | 'beers' | 'containerTypes' | 'fillers' | 'fleets' | 'stores' | 'routes' | 'accounts'
>

/** The set-up as the planner knows it, for a horizon of `today` to `lastDay`. */
export function setupToProblem(rows: SetupRows, today: LocalDate, lastDay: LocalDate): SetupPart {
  const siteIds = idsOf(rows.sites)
  const vessels = rows.vessels.filter(({ siteId }) => siteIds.has(siteId))
  const vesselIds = idsOf(vessels)
  const beerIds = idsOf(rows.beers)
  const typeIds = idsOf(rows.containerTypes)
  const routes = rows.routes.filter(({ siteId }) => siteIds.has(siteId))
  const routeIds = idsOf(routes)

  return {
    sites: rows.sites.map((row) => siteOf(rows, row, today)),
    vessels: vessels.map((row) => vesselOf(rows, row, today, lastDay)),
    beers: rows.beers.map((row) => beerOf(rows, row, vesselIds)),
    containerTypes: rows.containerTypes.map(({ id, kind, nominalLitres, overfillFraction }) =>
      inWholeMillilitres({ id, kind, nominalLitres, overfillFraction }),
    ),
    fillers: rows.fillers
      .filter(({ siteId }) => siteIds.has(siteId))
      .map((row) => fillerOf(rows, row, beerIds, typeIds)),
    fleets: rows.fleets
      .filter(({ siteId, containerTypeId }) => siteIds.has(siteId) && typeIds.has(containerTypeId))
      .map((row) => fleetOf(rows, row)),
    stores: rows.stores
      .filter(({ siteId }) => siteIds.has(siteId))
      .map(({ siteId, climate, capacityLitres }) => ({ siteId, climate, capacityLitres })),
    routes: routes.map((row) => routeOf(rows, row)),
    accounts: rows.accounts.map((row) => accountOf(rows, row, routeIds)),
  }
}

type Row<Table extends keyof SetupRows> = SetupRows[Table] extends readonly (infer Each)[] ? Each : never

/** A site with the days on which it is closed; those that have ended there are. */
function siteOf(rows: SetupRows, row: Row<'sites'>, today: LocalDate): Site {
  const ended = row.endedThrough ? dayOf(row.endedThrough) : ''
  return {
    id: row.id,
    timeZone: row.timeZone,
    brewWeekdays: row.brewWeekdays,
    fillWeekdays: row.fillWeekdays,
    closedOn: withDay(
      rows.closures(row.id).map(({ on }) => dayOf(on)),
      ended >= today ? ended : undefined,
    ),
    // What stands at a retired site may still be filled and sent; nothing new is brewed.
    brewsPerDay: row.retiredAt ? 0 : row.brewsPerDay,
    transfersPerDay: row.transfersPerDay ?? undefined,
    brewLitres: row.brewLitres ?? undefined,
    // Facts of the day give days limits of their own.
    ...{ noFillsOn: [], brewsOn: {}, transfersOn: {} },
    brewEnds: row.brewEnds,
    fillStarts: row.fillStarts,
  }
}

/** A vessel with the spans in which it is out of service. */
function vesselOf(rows: SetupRows, row: Row<'vessels'>, today: LocalDate, lastDay: LocalDate): Vessel {
  return {
    id: row.id,
    siteId: row.siteId,
    kind: row.kind,
    capacityLitres: row.capacityLitres,
    minFillLitres: row.minFillLitres,
    turnaroundDays: row.turnaroundDays,
    availableFrom: availableFrom(row, today),
    // Nothing enters a vessel that is out of service, and what is in it may be drawn (V3): so is a retired one.
    outOfService: row.retiredAt
      ? [{ from: today, to: lastDay }]
      : rows.outages(row.id).map(({ from, to }) => ({ from: dayOf(from), to: dayOf(to) })),
  }
}

/**
 * The first day on which a batch may enter a vessel; one that was emptied is cleaned first (V3): for its turnaround, or until the
 * day on which it was said to be cleaned, whichever ends first.
 */
function availableFrom(row: Row<'vessels'>, today: LocalDate): LocalDate | undefined {
  const setUp = row.availableFrom ? dayOf(row.availableFrom) : undefined
  const { emptiedOn, cleanedOn, turnaroundDays } = row
  const isOver = emptiedOn ? addDays(dayOf(emptiedOn), turnaroundDays + 1) : today
  const isSaid = cleanedOn ? [addDays(dayOf(cleanedOn), 1)] : []
  const [clean = isOver] = [isOver, ...isSaid].sort()
  return clean > today ? laterOf(setUp ?? clean, clean) : setUp
}

/** A beer with its packs and the vessels that it may be brewed in. */
function beerOf(rows: SetupRows, row: Row<'beers'>, vesselIds: ReadonlySet<string>): Beer {
  return {
    id: row.id,
    style: row.style,
    fermentHours: row.fermentHours,
    restHours: row.restHours,
    dryHopHours: row.dryHopHours,
    crashHours: row.crashHours,
    maxTankDays: row.maxTankDays,
    brightDays: row.brightDays,
    maxBrightDays: row.maxBrightDays,
    maxOpenDays: row.maxOpenDays ?? undefined,
    lossFraction: row.lossFraction,
    vesselIds: brewableIn(rows, row, vesselIds),
    setupWeight: row.setupWeight,
    washGroup: row.washGroup ?? undefined,
    packs: rows.packs(row.id).map((pack) => ({
      id: pack.id,
      containerTypeId: pack.containerTypeId,
      drawFrom: pack.drawFrom,
      conditioningDays: pack.conditioningDays,
      conditionIn: pack.conditionIn,
      settleDays: pack.settleDays,
      shelfLifeDays: pack.shelfLifeDays,
      primed: pack.primed,
      primingWindowDays: pack.primingWindowDays ?? undefined,
    })),
  }
}

/** A filler with its days, set-ups and rates, of beers and container types that the problem has. */
function fillerOf(
  rows: SetupRows,
  row: Row<'fillers'>,
  beerIds: ReadonlySet<string>,
  typeIds: ReadonlySet<string>,
): Filler {
  return {
    id: row.id,
    siteId: row.siteId,
    minutesPerDay: row.minutesPerDay,
    minutesOn: mapOf(rows.fillerDays(row.id), ({ on, minutes }) => [dayOf(on), minutes]),
    setupMinutes:
      row.setupMinutes ??
      mapOf(
        rows.fillerSetups(row.id).filter(({ beerId }) => beerIds.has(beerId)),
        ({ beerId, minutes }) => [beerId, minutes],
      ),
    setupLossLitres: row.setupLossLitres,
    washMinutes: row.washMinutes,
    minutesEach: mapOf(
      rows.fillerRates(row.id).filter(({ containerTypeId }) => typeIds.has(containerTypeId)),
      ({ containerTypeId, minutesEach }) => [containerTypeId, minutesEach],
    ),
  }
}

/** A fleet with the returns that are expected. */
function fleetOf(rows: SetupRows, row: Row<'fleets'>): Fleet {
  return {
    siteId: row.siteId,
    containerTypeId: row.containerTypeId,
    cleanNow: row.cleanNow,
    returns: rows.fleetReturns(row.id).map(({ on, quantity }) => ({ on: dayOf(on), quantity })),
    washDays: row.washDays,
  }
}

/** A route with the days on which it does not leave. */
function routeOf(rows: SetupRows, row: Row<'routes'>): Route {
  return {
    id: row.id,
    siteId: row.siteId,
    weekdays: row.weekdays,
    transitDays: row.transitDays,
    capacityLitres: row.capacityLitres ?? undefined,
    capacityLitresOn: {},
    closedOn: rows.routeClosures(row.id).map(({ on }) => dayOf(on)),
    cutOff: cutOffOf(row),
  }
}

/** The cut-off of a route's row (B6); undefined where it has none. */
export function cutOffOf(row: { cutOffDaysBefore: number | null; cutOffAt: string | null }): Route['cutOff'] {
  const { cutOffDaysBefore: daysBefore, cutOffAt: at } = row
  return daysBefore === null || at === null ? undefined : { daysBefore, at }
}

/** An account with those of its routes that the problem has. */
function accountOf(rows: SetupRows, row: Row<'accounts'>, routeIds: ReadonlySet<string>): Account {
  return {
    id: row.id,
    routeIds: sorted(rows.accountRoutes(row.id).map(({ routeId }) => routeId)).filter((id) => routeIds.has(id)),
    receivesWeekdays: row.receivesWeekdays,
    settleDays: row.settleDays ?? undefined,
    minDaysOnSale: row.minDaysOnSale,
    maxEarlyDays: row.maxEarlyDays,
    returnDays: row.returnDays ?? undefined,
  }
}

/** The vessels that a beer may be brewed in; none once it is retired, undefined where any will do (V2). */
function brewableIn(
  rows: SetupRows,
  beer: { id: string; anyVessel: boolean; retiredAt: Date | null },
  vesselIds: ReadonlySet<string>,
): string[] | undefined {
  if (beer.retiredAt) return []
  if (beer.anyVessel) return undefined
  return sorted(rows.beerVessels(beer.id).map(({ vesselId }) => vesselId)).filter((id) => vesselIds.has(id))
}

/** Days in order, with one more; each once. */
function withDay(days: readonly LocalDate[], day: LocalDate | undefined): LocalDate[] {
  return day === undefined || days.includes(day) ? [...days] : sorted([...days, day])
}

function idsOf(rows: readonly { id: string }[]): Set<string> {
  return new Set(rows.map(({ id }) => id))
}

/** In order of code units, whatever the database's collation. */
function sorted(ids: readonly string[]): string[] {
  return [...ids].sort()
}

function mapOf<Row>(rows: readonly Row[], entry: (row: Row) => [string, number]): Record<string, number> {
  return Object.fromEntries(rows.map(entry).sort(([a], [b]) => (a < b ? -1 : 1)))
}
