// Which lines to take out together: those that compete for the same beer, vessel, days or drop.
import type { Batch } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import { below, type Random } from '../model/random.ts'
import type { State } from '../model/state.ts'

/** One way of choosing lines to remove and place again; at most `most`, placed or not. */
export type Ruin = (state: State, random: Random, most: number) => LineModel[]

/** Lines of one beer whose serve days lie close together. */
const byBeer: Ruin = (state, random, most) => {
  const { lines } = state.model
  const centre = lines[below(random, lines.length)]
  return nearest(
    lines.filter((line) => line.beer === centre.beer),
    centre,
    most,
  )
}

/** Lines drawn from one batch, and from a neighbour of it in its vessel. */
const byBatch: Ruin = (state, random, most) => {
  const stays = pick(
    random,
    state.stays.filter((each) => each.length > 0),
  )
  if (!stays) return []
  const at = below(random, stays.length)
  const batches = random() < 0.5 ? [stays[at].batch] : [stays[at].batch, stays[(at + 1) % stays.length].batch]
  return usersOf(batches, random, most)
}

/** Two batches of one beer at one site. */
const byTwins: Ruin = (state, random, most) => {
  const list = pick(
    random,
    state.batches.filter((each) => each.length > 1),
  )
  if (!list) return []
  const at = below(random, list.length)
  return usersOf([list[at], list[(at + 1) % list.length]], random, most)
}

/** Lines filled at one site within a few days. */
const byWindow: Ruin = (state, random, most) => {
  const { model } = state
  const site = below(random, model.sites.length)
  const { fillDays } = model.sites[site]
  if (fillDays.length === 0) return []
  const from = fillDays[below(random, fillDays.length)]
  const to = from + below(random, 5)
  const found = new Set<LineModel>()
  for (let beer = 0; beer < model.beers.length; beer++) {
    for (const batch of state.batches[beer * model.sites.length + site]) {
      for (const user of batch.users) {
        for (const delivery of user.deliveries) {
          for (const take of delivery.runs)
            if (take.batch === batch && take.day >= from && take.day <= to) found.add(user.line)
        }
      }
    }
  }
  return sample([...found], random, most)
}

/** Lines of one account: drops can be shared. */
const byAccount: Ruin = (state, random, most) => {
  const { lines } = state.model
  const centre = lines[below(random, lines.length)]
  return nearest(
    lines.filter((line) => line.account === centre.account),
    centre,
    most,
  )
}

/** Some line that is late, not served or served in part; undefined where there is none. */
export function unsatisfiedLine(state: State, random: Random): LineModel | undefined {
  const { lines } = state.model
  const start = below(random, lines.length)
  for (let step = 0; step < lines.length; step++) {
    const line = lines[(start + step) % lines.length]
    const placement = state.placements[line.index]
    if (!placement || placement.delivered < line.quantity) return line
    if (placement.deliveries.some((each) => each.serve > line.dueOn)) return line
  }
  return undefined
}

/** A line that is late or not served, with the lines nearest to it in time, of its beer first. */
const byUnsatisfied: Ruin = (state, random, most) => {
  const { lines } = state.model
  const centre = unsatisfiedLine(state, random)
  if (!centre) return []
  const { beer } = centre
  const same = random() < 0.5 ? lines.filter((line) => line.beer === beer) : [...lines]
  return nearest(same, centre, most)
}

/** Any lines at all. */
const byChance: Ruin = (state, random, most) => sample([...state.model.lines], random, Math.max(1, most >> 1))

/** Whole brews: neighbours in a vessel, or of about the same days in several vessels. */
const byBrews: Ruin = (state, random) => {
  const planned: Batch[] = []
  for (const list of state.batches) for (const batch of list) if (batch.users.size > 0) planned.push(batch)
  const centre = pick(random, planned)
  if (!centre) return []
  const near = 1 + below(random, 3)
  const same = random() < 0.4
  const found = new Set<LineModel>()
  const order = planned
    .filter((batch) => !same || batch.fermenter === centre.fermenter || batch.beer === centre.beer)
    .sort((a, b) => Math.abs(a.ready - centre.ready) - Math.abs(b.ready - centre.ready) || a.serial - b.serial)
  order.splice(order.indexOf(centre), 1)
  order.unshift(centre)
  for (const batch of order.slice(0, near)) for (const user of batch.users) found.add(user.line)
  return [...found]
}

/** The ruins, by how often they are chosen. */
export const RUINS: readonly { ruin: Ruin; weight: number }[] = [
  { ruin: byBeer, weight: 3 },
  { ruin: byBatch, weight: 3 },
  { ruin: byTwins, weight: 2 },
  { ruin: byWindow, weight: 3 },
  { ruin: byAccount, weight: 1 },
  { ruin: byUnsatisfied, weight: 3 },
  { ruin: byChance, weight: 1 },
  { ruin: byBrews, weight: 3 },
]

function usersOf(batches: Batch[], random: Random, most: number): LineModel[] {
  const found = new Set<LineModel>()
  for (const batch of batches) for (const user of batch.users) found.add(user.line)
  return sample([...found], random, most)
}

/** The lines nearest to one in time; sorts what it is given. */
export function nearest(lines: LineModel[], centre: LineModel, most: number): LineModel[] {
  const distance = (line: LineModel) => Math.abs(line.serveOn - centre.serveOn)
  return lines.sort((a, b) => distance(a) - distance(b) || a.index - b.index).slice(0, most)
}

function sample<T>(list: T[], random: Random, most: number): T[] {
  for (let at = 0; at < Math.min(most, list.length); at++) {
    const other = at + below(random, list.length - at)
    const held = list[at]
    list[at] = list[other]
    list[other] = held
  }
  return list.slice(0, most)
}

function pick<T>(random: Random, list: T[]): T | undefined {
  return list[below(random, list.length)]
}
