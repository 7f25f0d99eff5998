// Levers of filling, standing and dispatching: filler minutes, clean containers, store and route litres.

import { brewSlot } from '../insertion/brews.ts'
import { supply } from '../insertion/earliest-insertion.ts'
import { fillWindows } from '../insertion/option.ts'
import { setupKey } from '../model/batch.ts'
import { element } from '../model/element.ts'
import { brewsAtAll, fleetIndex, type LineModel } from '../model/model.ts'
import { OPTION_SIZE } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { LITRE, MINUTE, SLACK } from '../model/units.ts'
import { batchesOf, packOf, sitesOf } from '../rules/relaxation-scope.ts'
import { onTimeVariant } from './on-time.ts'
import { atSite, type Lever, type LeverMaker } from './relief.ts'

/** Fill days on which the line could be filled in time, by site, the first to the last. */
export function fillDaysInTime(state: State, line: LineModel): Map<number, number[]> {
  const windows = fillWindows(state, onTimeVariant(line))
  return new Map(
    [...windows].map(([site, { from, to }]) => [
      site,
      element(state.model.sites, site).fillDays.filter((day) => day >= from && day <= to),
    ]),
  )
}

/** Litres of the line, in units. */
function unitsOf(state: State, line: LineModel): number {
  return line.quantity * packOf(state, line).nominal
}

/** Containers of a line that must be filled on a day, since there are too few else; at least one, or it would not help. */
class Shortfall {
  private readonly state: State
  private readonly line: LineModel
  private readonly missing: number

  constructor(state: State, line: LineModel) {
    this.state = state
    this.line = line
    const onTime = onTimeVariant(line)
    this.missing = line.quantity - supply(state, onTime)(onTime.options)
  }

  /** Where the day would let the beer be brewed anew, that brew may give more on other days too. */
  on(site: number, day: number): number {
    const { state, line } = this
    const siteModel = element(state.model.sites, site)
    if (this.missing <= 1) return 1
    const { bright } = packOf(state, line)
    const brews =
      brewsAtAll(siteModel) &&
      brewSlot(state, line.beer, site, day, bright, siteModel.fermenters, undefined) !== undefined
    return brews ? 1 : this.missing
  }
}

/** L1: so many minutes more of one filler on one day; one lever for each filler and day, the last days first. */
export const fillerMinutes: LeverMaker = (state, line) => {
  const { model } = state
  const levers: Lever[] = []
  const { type, kind } = packOf(state, line)
  const batches = batchesOf(state, line)
  const short = new Shortfall(state, line)
  for (const [site, days] of fillDaysInTime(state, line)) {
    for (const day of [...days].reverse()) {
      for (const index of element(model.sites, site).fillers) {
        const filler = element(model.fillers, index)
        const each = element(filler.each, type)
        if (each === Number.POSITIVE_INFINITY) continue
        const before = element(filler.minutes, day)
        const used = element(state.minutesUsed, index)
        const over = element(used, day) - before
        const started = batches.some((batch) => batch.setupAt.has(setupKey(model, index, day, kind)))
        const setup = started ? 0 : state.setupWork(line.beer, index, day)
        levers.push({
          what: 'FILLER_MINUTES',
          rule: 'L1',
          resource: { kind: 'FILLER', id: filler.id },
          days: [day],
          // Set-up and work of the whole line, in a run of its own; and of those containers that nothing else can fill.
          most: Math.ceil(
            (Math.max(0, over) + element(filler.setupMinutes, line.beer) + filler.washMinutes + line.quantity * each) /
              MINUTE,
          ),
          least: Math.max(1, Math.ceil((over + setup + short.on(site, day) * each) / MINUTE)),
          need: () => Math.ceil((element(used, day) - before) / MINUTE),
          pull: (log, amount) => {
            log.swap(filler.minutes, day, before + amount * MINUTE)
            return line
          },
          by: () => day,
        })
      }
    }
  }
  return levers
}

/** C1: so many more clean containers of the type at a site, from a day on. */
export const cleanContainers: LeverMaker = (state, line) => {
  const { model } = state
  const { type } = packOf(state, line)
  return sitesOf(state, line).flatMap((site): Lever[] => {
    const index = fleetIndex(model, site, type)
    const days = fillDaysInTime(state, line).get(site) ?? []
    if (!state.clean[index] || days.length === 0) return []
    const { id } = element(model.types, type)
    let added = 0
    let from = 0
    return [
      {
        what: 'CLEAN_CONTAINERS',
        rule: 'C1',
        resource: { kind: 'FLEET', id: atSite(element(model.sites, site).id, id) },
        days,
        most: line.quantity,
        need: () => added - leastFrom(state.clean[index], from),
        pull: (log, amount, day) => {
          added = amount
          from = day
          const more = state.clean[index]?.map((clean, at) => (at >= day ? clean + amount : clean))
          log.swap(state.clean, index, more)
          return line
        },
        by: (_, day) => day,
      },
    ]
  })
}

function leastFrom(clean: Float64Array | undefined, from: number): number {
  return clean ? clean.subarray(from).reduce((least, each) => Math.min(least, each)) : 0
}

/** S1: so many litres more in a store of the site, every day. */
export const storeLitres: LeverMaker = (state, line) => {
  const { model } = state
  return sitesOf(state, line).flatMap((site) =>
    (['COLD', 'WARM'] as const).flatMap((climate, offset): Lever[] => {
      const index = site * 2 + offset
      const capacity = element(model.stores, index)
      if (capacity === Number.POSITIVE_INFINITY || (offset === 1 && !packOf(state, line).warm)) return []
      const most = (planned: boolean) => {
        const stock = element(state.storeStock, index)
        let over = 0
        for (const [day, units] of element(state.storePlan, index).entries())
          if (units > 0 || !planned) over = Math.max(over, units + element(stock, day) - capacity)
        return over
      }
      return [
        {
          what: 'STORE_LITRES',
          rule: 'S1',
          resource: { kind: 'STORE', id: atSite(element(model.sites, site).id, climate) },
          days: [0],
          most: Math.ceil((unitsOf(state, line) + most(false)) / LITRE),
          need: () => Math.ceil((most(true) - SLACK) / LITRE),
          pull: (log, amount) => {
            log.swap(model.stores, index, capacity + amount * LITRE)
            return line
          },
          by: () => undefined,
        },
      ]
    }),
  )
}

/** D1: so many litres more on a route of the account, every day that has no limit of its own; with the last day that is in time. */
export const routeLitres: LeverMaker = (state, line) => {
  const { model } = state
  const { options } = onTimeVariant(line)
  return element(model.accounts, line.account).routes.flatMap((index): Lever[] => {
    const route = element(model.routes, index)
    const before = route.capacity
    const at = options.findIndex((value, position) => position % OPTION_SIZE === 0 && value === index)
    const dispatch = options[at + 1]
    if (before === Number.POSITIVE_INFINITY || at < 0 || dispatch === undefined) return []
    const used = element(state.routeUsed, index)
    return [
      {
        what: 'ROUTE_LITRES',
        rule: 'D1',
        resource: { kind: 'ROUTE', id: route.id },
        days: [dispatch],
        most: Math.ceil(unitsOf(state, line) / LITRE),
        need: () => Math.ceil((mostUsed(used, route.capacityOnly) - before - SLACK) / LITRE),
        pull: (log, amount) => {
          log.swap(route, 'capacity', before + amount * LITRE)
          return line
        },
        by: (_, day) => day,
      },
    ]
  })
}

/** Most units of a day that has no limit of its own. */
function mostUsed(used: Float64Array, only: Float64Array): number {
  return used.reduce((most, each, day) => (element(only, day) < 0 ? Math.max(most, each) : most), 0)
}
