// Limits that can be lifted one at a time to find out which of them binds a line; each knows how to come back.
import type { Batch } from '../model/batch.ts'
import { fleetIndex, type LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { cutOffs } from '../rules/cut-off/relaxation.ts'
import { all, type Relaxation, sitesOf, swap } from '../rules/relaxation.ts'

const PLENTY = 1e15

/** Does something hold on every one of the first so many days of the horizon? */
function isAlways(days: number, holds: (day: number) => boolean): boolean {
  for (let day = 0; day < days; day++) if (!holds(day)) return false
  return true
}

const fillerMinutes: Relaxation = {
  rule: 'L1',
  matters: () => true,
  lift: (state, line) => {
    const { model } = state
    return all(
      sitesOf(state, line).flatMap((site) => {
        const minutes = new Float64Array(model.horizon)
        for (const day of model.sites[site].fillDays) minutes[day] = PLENTY
        return model.sites[site].fillers.map((filler) => swap(model.fillers[filler], 'minutes', minutes))
      }),
    )
  },
  reason: (state, line) => {
    const filler = state.model.sites[sitesOf(state, line)[0]].fillers[0]
    return {
      rule: 'L1',
      code: 'NO_FILLER_MINUTES',
      resource: filler === undefined ? undefined : { kind: 'FILLER', id: state.model.fillers[filler].id },
    }
  },
}

/** Fillers at the line's sites that are washed between groups. */
function washedFillers(state: State, line: LineModel): number[] {
  return sitesOf(state, line).flatMap((site) => state.model.sites[site].fillers.filter((each) => state.washing[each]))
}

const washing: Relaxation = {
  rule: 'L4',
  matters: (state, line) => washedFillers(state, line).length > 0,
  lift: (state, line) =>
    all(
      washedFillers(state, line).flatMap((index) => {
        const filler = state.model.fillers[index]
        const groups = state.washing[index]?.groups ?? []
        const used = state.minutesUsed[index].map(
          (minutes, day) => minutes - Math.max(0, groups[day] - 1) * filler.washMinutes,
        )
        return [swap(state.minutesUsed, index, used), swap(filler, 'washMinutes', 0)]
      }),
    ),
  reason: (state, line) => ({
    rule: 'L4',
    code: 'NO_MINUTES_TO_WASH',
    resource: { kind: 'FILLER', id: state.model.fillers[washedFillers(state, line)[0]].id },
  }),
}

const cleanContainers: Relaxation = {
  rule: 'C1',
  matters: (state, line) => {
    const { type } = state.model.packs[line.pack]
    return sitesOf(state, line).some((site) => {
      const clean = state.clean[fleetIndex(state.model, site, type)]
      return clean !== undefined && !isAlways(clean.length, (day) => clean[day] >= line.quantity)
    })
  },
  lift: (state, line) => {
    const { type } = state.model.packs[line.pack]
    return all(sitesOf(state, line).map((site) => swap(state.clean, fleetIndex(state.model, site, type), undefined)))
  },
  reason: (state, line) => ({
    rule: 'C1',
    code: 'NO_CLEAN_CONTAINERS',
    params: { containerTypeId: state.model.types[state.model.packs[line.pack].type].id },
    resource: { kind: 'CONTAINER_TYPE', id: state.model.types[state.model.packs[line.pack].type].id },
  }),
}

const storeRoom: Relaxation = {
  rule: 'S1',
  matters: (state, line) => {
    const { model, storePlan, storeStock } = state
    const units = line.quantity * model.packs[line.pack].nominal
    // What the line leaves standing may be too much on any day.
    return sitesOf(state, line).some((site) =>
      [site * 2, site * 2 + 1].some((store) => {
        const room = model.stores[store] - units
        return !isAlways(model.horizon, (day) => storePlan[store][day] + storeStock[store][day] <= room)
      }),
    )
  },
  lift: (state, line) =>
    all(
      sitesOf(state, line).flatMap((site) => [
        swap(state.model.stores, site * 2, Number.POSITIVE_INFINITY),
        swap(state.model.stores, site * 2 + 1, Number.POSITIVE_INFINITY),
      ]),
    ),
  reason: (state, line) => ({
    rule: 'S1',
    code: 'NO_STORE_ROOM',
    resource: { kind: 'SITE', id: state.model.sites[sitesOf(state, line)[0]].id },
  }),
}

const routeRoom: Relaxation = {
  rule: 'D1',
  matters: (state, line) => {
    const { accounts, routes, packs } = state.model
    const units = line.quantity * packs[line.pack].nominal
    return accounts[line.account].routes.some((route) => {
      const room = routes[route].capacity - units
      return !isAlways(line.dueOn + 1, (day) => state.routeUsed[route][day] <= room)
    })
  },
  lift: (state, line) =>
    all(
      state.model.accounts[line.account].routes.map((route) =>
        swap(state.model.routes[route], 'capacity', Number.POSITIVE_INFINITY),
      ),
    ),
  reason: (state, line) => ({
    rule: 'D1',
    code: 'NO_ROUTE_ROOM',
    resource: { kind: 'ROUTE', id: state.model.routes[state.model.accounts[line.account].routes[0]].id },
  }),
}

const brewhouse: Relaxation = {
  rule: 'V1',
  matters: (state, line) => sitesOf(state, line).some((site) => state.model.sites[site].fermenters.length > 0),
  lift: (state, line) => all(sitesOf(state, line).map((site) => swap(state.model.sites[site], 'brewsPerDay', 1e9))),
  reason: (state, line) => ({
    rule: 'V1',
    code: 'NO_BREW_LEFT',
    resource: { kind: 'SITE', id: state.model.sites[sitesOf(state, line)[0]].id },
  }),
}

const transfers: Relaxation = {
  rule: 'V11',
  matters: (state, line) =>
    state.model.packs[line.pack].bright &&
    sitesOf(state, line).some((site) => Number.isFinite(state.model.sites[site].transfersPerDay)),
  lift: (state, line) =>
    all(sitesOf(state, line).map((site) => swap(state.model.sites[site], 'transfersPerDay', Number.POSITIVE_INFINITY))),
  reason: (state, line) => ({
    rule: 'V11',
    code: 'NO_TRANSFER_LEFT',
    resource: { kind: 'SITE', id: state.model.sites[sitesOf(state, line)[0]].id },
  }),
}

/** The first of the largest of some vessels, where need be only of those that a beer may use; undefined where there is none. */
export function largestOf({ model }: State, vessels: readonly number[], allowed?: Uint8Array): number | undefined {
  let largest: number | undefined
  for (const vessel of vessels) {
    if (allowed && !allowed[vessel]) continue
    if (largest === undefined || model.vessels[vessel].capacity > model.vessels[largest].capacity) largest = vessel
  }
  return largest
}

/** One more empty fermenter and bright vessel at each site. */
const vessels: Relaxation = {
  rule: 'V3',
  matters: (state, line) =>
    sitesOf(state, line).some(
      (site) => state.model.sites[site].fermenters.length + state.model.sites[site].brights.length > 0,
    ),
  lift: (state, line) => {
    const { model } = state
    const undos: (() => void)[] = []
    const beer = model.beers[line.beer]
    for (const site of sitesOf(state, line)) {
      for (const bright of [false, true]) {
        const largest = largestOf(state, bright ? model.sites[site].brights : model.sites[site].fermenters)
        if (largest === undefined) continue
        const index = model.vessels.length
        model.vessels.push({ ...model.vessels[largest], id: '', availableFrom: 0, outOfService: [], minFill: 0 })
        state.stays.push([])
        const siteModel = model.sites[site]
        const list = bright ? 'brights' : 'fermenters'
        undos.push(swap(siteModel, list, [...siteModel[list], index]))
        const allowed = new Uint8Array(index + 1)
        allowed.set(beer.allowed)
        allowed[index] = 1
        undos.push(swap(beer, 'allowed', allowed))
        undos.push(() => {
          model.vessels.pop()
          state.stays.pop()
        })
      }
    }
    return all(undos)
  },
  reason: (state, line) => ({
    rule: 'V3',
    code: 'NO_VESSEL_FREE',
    params: { beerId: state.model.beers[line.beer].id },
    resource: { kind: 'BEER', id: state.model.beers[line.beer].id },
  }),
}

/** Beer ready the day it is brewed, and standing beer ready today. */
const readiness: Relaxation = {
  rule: 'T1',
  matters: () => true,
  lift: (state, line) => {
    const beer = state.model.beers[line.beer]
    const undos = [
      swap(
        beer,
        'readyAfter',
        beer.readyAfter.map(() => 0),
      ),
    ]
    for (const batch of batchesOf(state, line)) undos.push(swap(batch, 'ready', Math.min(batch.ready, 0)))
    return all(undos)
  },
  reason: (state, line) => ({
    rule: 'T1',
    code: 'NOT_READY_IN_TIME',
    params: { beerId: state.model.beers[line.beer].id },
    resource: { kind: 'BEER', id: state.model.beers[line.beer].id },
  }),
}

const priming: Relaxation = {
  rule: 'V7',
  matters: (state, line) => state.model.packs[line.pack].primingWindow >= 0,
  lift: (state, line) =>
    all([
      swap(
        state.model.packs[line.pack],
        'primingWindow',
        state.model.packs[line.pack].primingWindow < 0 ? -1 : Number.POSITIVE_INFINITY,
      ),
      ...batchesOf(state, line).map((batch) => swap(batch, 'primable', true)),
    ]),
  reason: (state, line) => ({
    rule: 'V7',
    code: 'NOT_FIT_FOR_PRIMING',
    params: { packId: state.model.packs[line.pack].id },
    resource: { kind: 'PACK', id: state.model.packs[line.pack].id },
  }),
}

const quarantine: Relaxation = {
  rule: 'V8',
  matters: (state, line) => batchesOf(state, line).some(({ quarantined }) => quarantined),
  lift: (state, line) => all(batchesOf(state, line).map((batch) => swap(batch, 'quarantined', false))),
  reason: (state, line) => ({
    rule: 'V8',
    code: 'BEER_QUARANTINED',
    params: { beerId: state.model.beers[line.beer].id },
    resource: { kind: 'BEER', id: state.model.beers[line.beer].id },
  }),
}

/** Batches of the line's beer at its sites. */
export function batchesOf(state: State, line: LineModel): Batch[] {
  return sitesOf(state, line).flatMap((site) => state.batches[line.beer * state.model.sites.length + site])
}

const frozen: Relaxation = {
  rule: 'F1',
  matters: ({ model }) => model.frozenUntil > 0,
  lift: (state) => swap(state.model, 'frozenUntil', 0),
  reason: () => ({ rule: 'F1', code: 'DAYS_FROZEN' }),
}

/** In the order in which they are given the benefit of the doubt; reported in the reverse order, what can be changed first. */
export const RELAXATIONS: readonly Relaxation[] = [
  frozen,
  readiness,
  quarantine,
  priming,
  brewhouse,
  transfers,
  vessels,
  storeRoom,
  routeRoom,
  cutOffs,
  cleanContainers,
  washing,
  fillerMinutes,
]
