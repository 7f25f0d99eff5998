// How many more containers the clean fleet (C1), the stores (S1) and a route (D1) allow between two days.
import { fleetIndex, type LineModel, limitOn, type Model } from './model.ts'
import type { State } from './state.ts'
import { SLACK } from './units.ts'

/** Clean containers to spare from a fill day until `back`, the day on which the delivered ones are clean again. */
export function cleanToSpare(state: State, site: number, type: number, day: number, back: number): number {
  const clean = state.clean[fleetIndex(state.model, site, type)]
  if (!clean) return Number.POSITIVE_INFINITY
  let least = Number.POSITIVE_INFINITY
  const to = Math.min(back, state.model.horizon)
  for (let d = Math.max(0, day); d < to; d++) if (clean[d] < least) least = clean[d]
  return least
}

/** Day on which containers served on a day are clean again at their site; infinity where they never come back. */
export function cleanAgain(model: Model, line: LineModel, site: number, serve: number): number {
  const { returnDays } = model.accounts[line.account]
  const fleet = model.fleets[fleetIndex(model, site, model.packs[line.pack].type)]
  if (returnDays < 0 || !fleet) return Number.POSITIVE_INFINITY
  const day = serve + returnDays + fleet.washDays
  return day >= 1 ? day : Number.POSITIVE_INFINITY
}

/** Units that can still stand from a fill day until the day before `leaves`, in the pack's climates. */
export function roomToStand(state: State, site: number, packIndex: number, day: number, leaves: number): number {
  const { model } = state
  const pack = model.packs[packIndex]
  const to = Math.min(leaves, model.horizon)
  const coldFrom = pack.warm ? Math.min(to, day + pack.conditioning) : day
  const warm = roomIn(state, site * 2 + 1, Math.max(0, day), coldFrom)
  const cold = roomIn(state, site * 2, Math.max(0, coldFrom), to)
  return Math.min(warm, cold)
}

/** Units that can still stand in a store on all days from one up to the one before `to`. */
function roomIn(state: State, store: number, from: number, to: number): number {
  const capacity = state.model.stores[store]
  let least = Number.POSITIVE_INFINITY
  if (capacity === Number.POSITIVE_INFINITY) return least
  const stock = state.storeStock[store]
  const plan = state.storePlan[store]
  for (let day = from; day < to; day++) {
    // S1: where the stock of today alone is too much, nothing that the plan fills may stand.
    const room = capacity - stock[day] - plan[day] + SLACK
    if (room < least) least = room
  }
  return least
}

/** Last day from one up to the one before `to` on which too much stands in the cold at a site (S1); -1 where there is none. */
export function lastCrowded({ model, storePlan, storeStock }: State, site: number, from: number, to: number): number {
  const store = site * 2
  const most = model.stores[store] + SLACK
  if (most === Number.POSITIVE_INFINITY) return -1
  const [plan, stock] = [storePlan[store], storeStock[store]]
  for (let day = to - 1; day >= from; day--) if (plan[day] > 0 && plan[day] + stock[day] > most) return day
  return -1
}

/** Units that a route can still take on a day (D1). */
export function routeRoom({ model, routeUsed }: State, route: number, day: number): number {
  const { capacity, capacityOnly } = model.routes[route]
  return limitOn(capacity, capacityOnly, day) - routeUsed[route][day]
}

/** Are all fleets and stores within bounds? Undoing a delivery takes returns back and leaves stock standing. */
export function holds(state: State): boolean {
  return overdrawn(state) === undefined
}

/** A fleet (C1) or a store (S1), by its index, that is asked for too much on a day. */
export interface Overdrawn {
  rule: 'C1' | 'S1'
  index: number
  day: number
}

/** What is asked for too much on the first such day, fleets before stores; undefined where all is within bounds. */
export function overdrawn(state: State): Overdrawn | undefined {
  const { model } = state
  let first: Overdrawn | undefined
  let to = model.horizon
  for (const [index, clean] of state.clean.entries()) {
    if (!clean) continue
    for (let day = 0; day < to; day++)
      if (clean[day] < 0) {
        first = { rule: 'C1', index, day }
        to = day
      }
  }
  for (let index = 0; index < model.stores.length; index++) {
    const capacity = model.stores[index]
    if (capacity === Number.POSITIVE_INFINITY) continue
    const plan = state.storePlan[index]
    const stock = state.storeStock[index]
    for (let day = 0; day < to; day++)
      if (plan[day] > 0 && plan[day] + stock[day] > capacity + SLACK) {
        first = { rule: 'S1', index, day }
        to = day
      }
  }
  return first
}

/** By how many containers or units more is asked than there is; 0 or less where it is not. */
export function excess(state: State, { rule, index, day }: Overdrawn): number {
  if (rule === 'C1') return -(state.clean[index]?.[day] ?? 0)
  const planned = state.storePlan[index][day]
  // S1: with nothing planned in it, a store may be over-full.
  return planned > 0 ? planned + state.storeStock[index][day] - state.model.stores[index] : 0
}

/** Whether so much excess passes the bound. */
export function isOver({ rule }: Overdrawn, units: number): boolean {
  return units > (rule === 'S1' ? SLACK : 0)
}
