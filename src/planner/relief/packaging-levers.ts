// Levers of filling, standing and dispatching: filler minutes, clean containers, store and route litres.
import { fleetIndex, type LineModel } from '../search/model.ts'
import { fillWindows } from '../search/place.ts'
import { sitesOf, swap } from '../search/relaxations.ts'
import type { State } from '../search/state.ts'
import { LITRE, MINUTE } from '../search/units.ts'
import { onTimeVariant } from './on-time.ts'
import { atSite, counted, type Lever, type LeverMaker } from './relief.ts'

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

/** L1: so many minutes more of one filler on one day; one lever for each filler and day, the last days first. */
export const fillerMinutes: LeverMaker = (state, line) => {
  const { model } = state
  const levers: Lever[] = []
  const { type } = model.packs[line.pack]
  for (const [site, days] of fillDaysInTime(state, line)) {
    for (const day of [...days].reverse()) {
      for (const index of model.sites[site].fillers) {
        const filler = model.fillers[index]
        if (filler.each[type] === Number.POSITIVE_INFINITY) continue
        const short = Math.max(0, state.minutesUsed[index][day] - filler.minutes[day])
        levers.push({
          what: 'FILLER_MINUTES',
          rule: 'L1',
          resource: { kind: 'FILLER', id: filler.id },
          days: [day],
          // Set-up and work of the whole line, in a run of its own.
          most: Math.ceil((short + filler.setupMinutes[line.beer] + line.quantity * filler.each[type]) / MINUTE),
          pull: (amount) => ({
            line,
            undo: swap(filler.minutes, day, filler.minutes[day] + amount * MINUTE),
          }),
          by: () => day,
          words: (amount, by) => `${counted(amount, 'more filler minute')} on ${by} (filler ${filler.id})`,
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
    return [
      {
        what: 'CLEAN_CONTAINERS',
        rule: 'C1',
        resource: { kind: 'FLEET', id: atSite(model.sites[site].id, typeId) },
        days,
        most: line.quantity,
        pull: (amount, day) => ({
          line,
          undo: swap(
            state.clean,
            index,
            state.clean[index]?.map((clean, at) => (at >= day ? clean + amount : clean)),
          ),
        }),
        by: (_, day) => day,
        words: (amount, by) =>
          `${counted(amount, 'more clean container')} of type ${typeId} by ${by} (site ${model.sites[site].id})`,
      },
    ]
  })
}

/** S1: so many litres more in a store of the site, every day. */
export const storeLitres: LeverMaker = (state, line) => {
  const { model } = state
  return sitesOf(state, line).flatMap((site) =>
    (['COLD', 'WARM'] as const).flatMap((climate, offset): Lever[] => {
      const index = site * 2 + offset
      const capacity = model.stores[index]
      if (capacity === Number.POSITIVE_INFINITY || (offset === 1 && !model.packs[line.pack].warm)) return []
      let over = 0
      for (let day = 0; day < model.horizon; day++)
        over = Math.max(over, state.storePlan[index][day] + state.storeStock[index][day] - capacity)
      return [
        {
          what: 'STORE_LITRES',
          rule: 'S1',
          resource: { kind: 'STORE', id: atSite(model.sites[site].id, climate) },
          days: [0],
          most: Math.ceil((unitsOf(state, line) + over) / LITRE),
          pull: (amount) => ({ line, undo: swap(model.stores, index, capacity + amount * LITRE) }),
          by: () => undefined,
          words: (amount) =>
            `room for ${counted(amount, 'more litre')} in the ${climate === 'COLD' ? 'cold' : 'warm'} store of site ${model.sites[site].id}`,
        },
      ]
    }),
  )
}

/** D1: so many litres more on a route of the account, every day that it runs; told with the last day that is in time. */
export const routeLitres: LeverMaker = (state, line) => {
  const { model } = state
  const { options } = onTimeVariant(line)
  return model.accounts[line.account].routes.flatMap((index): Lever[] => {
    const route = model.routes[index]
    const at = options.findIndex((value, position) => position % 3 === 0 && value === index)
    if (route.capacity === Number.POSITIVE_INFINITY || at < 0) return []
    return [
      {
        what: 'ROUTE_LITRES',
        rule: 'D1',
        resource: { kind: 'ROUTE', id: route.id },
        days: [options[at + 1]],
        most: Math.ceil(unitsOf(state, line) / LITRE),
        pull: (amount) => ({ line, undo: swap(route, 'capacity', route.capacity + amount * LITRE) }),
        by: (_, day) => day,
        words: (amount, by) =>
          `room for ${counted(amount, 'more litre')} on route ${route.id} on the days that it runs up to ${by}`,
      },
    ]
  })
}
