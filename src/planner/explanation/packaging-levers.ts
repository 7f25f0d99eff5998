// Levers of filling, standing and dispatching: filler minutes, clean containers, store and route litres.

import { brewSlot } from '../insertion/brews.ts'
import { supply } from '../insertion/earliest-insertion.ts'
import { fillWindows } from '../insertion/option.ts'
import { setupKey } from '../model/batch.ts'
import { fleetIndex, type LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { LITRE, MINUTE, SLACK } from '../model/units.ts'
import { batchesOf, sitesOf, swap } from '../rules/relaxation.ts'
import { onTimeVariant } from './on-time.ts'
import { atSite, type Lever, type LeverMaker } from './relief.ts'

/** Fill days on which the line could be filled in time, by site, the first to the last. */
export function fillDaysInTime(state: State, line: LineModel): Map<number, number[]> {
  const windows = fillWindows(state, onTimeVariant(line))
  return new Map(
    [...windows].map(([site, { from, to }]) => [
      site,
      state.model.sites[site].fillDays.filter((day) => day >= from && day <= to),
    ]),
  )
}

/** Litres of the line, in units. */
function unitsOf(state: State, line: LineModel): number {
  return line.quantity * state.model.packs[line.pack].nominal
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
    const { fermenters, brewsPerDay } = state.model.sites[site]
    if (this.missing <= 1) return 1
    const { bright } = state.model.packs[line.pack]
    const brews = brewsPerDay > 0 && brewSlot(state, line.beer, site, day, bright, fermenters, undefined) !== undefined
    return brews ? 1 : this.missing
  }
}

/** L1: so many minutes more of one filler on one day; one lever for each filler and day, the last days first. */
export const fillerMinutes: LeverMaker = (state, line) => {
  const { model } = state
  const levers: Lever[] = []
  const { type } = model.packs[line.pack]
  const batches = batchesOf(state, line)
  const short = new Shortfall(state, line)
  for (const [site, days] of fillDaysInTime(state, line)) {
    for (const day of [...days].reverse()) {
      for (const index of model.sites[site].fillers) {
        const filler = model.fillers[index]
        if (filler.each[type] === Number.POSITIVE_INFINITY) continue
        const before = filler.minutes[day]
        const over = state.minutesUsed[index][day] - before
        const { kind } = model.packs[line.pack]
        const started = batches.some((batch) => batch.setupAt.has(setupKey(model, index, day, kind)))
        const setup = started ? 0 : state.setupWork(line.beer, index, day)
        levers.push({
          what: 'FILLER_MINUTES',
          rule: 'L1',
          resource: { kind: 'FILLER', id: filler.id },
          days: [day],
          // Set-up and work of the whole line, in a run of its own; and of those containers that nothing else can fill.
          most: Math.ceil(
            (Math.max(0, over) +
              filler.setupMinutes[line.beer] +
              filler.washMinutes +
              line.quantity * filler.each[type]) /
              MINUTE,
          ),
          least: Math.max(1, Math.ceil((over + setup + short.on(site, day) * filler.each[type]) / MINUTE)),
          need: () => Math.ceil((state.minutesUsed[index][day] - before) / MINUTE),
          pull: (amount) => ({
            line,
            undo: swap(filler.minutes, day, before + amount * MINUTE),
          }),
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
  const { type } = model.packs[line.pack]
  return sitesOf(state, line).flatMap((site): Lever[] => {
    const index = fleetIndex(model, site, type)
    const days = fillDaysInTime(state, line).get(site) ?? []
    if (!state.clean[index] || days.length === 0) return []
    const typeId = model.types[type].id
    let added = 0
    let from = 0
    return [
      {
        what: 'CLEAN_CONTAINERS',
        rule: 'C1',
        resource: { kind: 'FLEET', id: atSite(model.sites[site].id, typeId) },
        days,
        most: line.quantity,
        need: () => added - leastFrom(state.clean[index], from),
        pull: (amount, day) => {
          added = amount
          from = day
          return {
            line,
            undo: swap(
              state.clean,
              index,
              state.clean[index]?.map((clean, at) => (at >= day ? clean + amount : clean)),
            ),
          }
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
      const capacity = model.stores[index]
      if (capacity === Number.POSITIVE_INFINITY || (offset === 1 && !model.packs[line.pack].warm)) return []
      const most = (planned: boolean) => {
        let over = 0
        for (let day = 0; day < model.horizon; day++) {
          const units = state.storePlan[index][day]
          if (units > 0 || !planned) over = Math.max(over, units + state.storeStock[index][day] - capacity)
        }
        return over
      }
      return [
        {
          what: 'STORE_LITRES',
          rule: 'S1',
          resource: { kind: 'STORE', id: atSite(model.sites[site].id, climate) },
          days: [0],
          most: Math.ceil((unitsOf(state, line) + most(false)) / LITRE),
          need: () => Math.ceil((most(true) - SLACK) / LITRE),
          pull: (amount) => ({ line, undo: swap(model.stores, index, capacity + amount * LITRE) }),
          by: () => undefined,
        },
      ]
    }),
  )
}

/** D1: so many litres more on a route of the account, every day that it runs; with the last day that is in time. */
export const routeLitres: LeverMaker = (state, line) => {
  const { model } = state
  const { options } = onTimeVariant(line)
  return model.accounts[line.account].routes.flatMap((index): Lever[] => {
    const route = model.routes[index]
    const before = route.capacity
    const at = options.findIndex((value, position) => position % 3 === 0 && value === index)
    if (before === Number.POSITIVE_INFINITY || at < 0) return []
    return [
      {
        what: 'ROUTE_LITRES',
        rule: 'D1',
        resource: { kind: 'ROUTE', id: route.id },
        days: [options[at + 1]],
        most: Math.ceil(unitsOf(state, line) / LITRE),
        need: () =>
          Math.ceil((state.routeUsed[index].reduce((most, each) => Math.max(most, each)) - before - SLACK) / LITRE),
        pull: (amount) => ({ line, undo: swap(route, 'capacity', before + amount * LITRE) }),
        by: (_, day) => day,
      },
    ]
  })
}
