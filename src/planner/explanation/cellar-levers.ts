// Levers of brewhouse and cellar: more brews or transfers a day, a batch ready earlier or released, one more vessel.
import type { Batch } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import { refresh } from '../model/refresh.ts'
import type { State } from '../model/state.ts'
import { all, batchesOf, largestOf, sitesOf, swap } from '../rules/relaxation.ts'
import type { Lever, LeverMaker } from './relief.ts'

/** More brews than these no brewhouse adds to its day. */
const MOST_BREWS = 8
/** More transfers than these no cellar adds to its day. */
const MOST_TRANSFERS = 8

/** V1: so many brews more at a site, every day. */
export const brewsPerDay: LeverMaker = (state, line) =>
  sitesOf(state, line).map((index): Lever => {
    const site = state.model.sites[index]
    return {
      what: 'BREWS_PER_DAY',
      rule: 'V1',
      resource: { kind: 'SITE', id: site.id },
      days: [0],
      most: MOST_BREWS,
      pull: (amount) => ({ line, undo: swap(site, 'brewsPerDay', site.brewsPerDay + amount) }),
      by: () => undefined,
    }
  })

/** V11: so many transfers more at a site, every day. */
export const transfersPerDay: LeverMaker = (state, line) =>
  sitesOf(state, line)
    .map((index) => state.model.sites[index])
    .filter((site) => Number.isFinite(site.transfersPerDay))
    .map(
      (site): Lever => ({
        what: 'TRANSFERS_PER_DAY',
        rule: 'V11',
        resource: { kind: 'SITE', id: site.id },
        days: [0],
        most: MOST_TRANSFERS,
        pull: (amount) => ({ line, undo: swap(site, 'transfersPerDay', site.transfersPerDay + amount) }),
        by: () => undefined,
      }),
    )

/** T1: a batch that stands in a fermenter is ready so many days earlier, today at the earliest. */
export const batchEarlier: LeverMaker = (state, line) =>
  standing(state, line)
    .filter((batch) => batch.fermenter >= 0 && batch.ready > 0 && !batch.quarantined)
    .map(
      (batch): Lever => ({
        what: 'BATCH_READY_EARLIER',
        rule: 'T1',
        resource: { kind: 'BATCH', id: idOf(state, batch) },
        days: [0],
        most: batch.ready,
        pull: (amount) => change(state, line, batch, { ready: batch.ready - amount, quarantined: false }),
        by: (amount) => batch.ready - amount,
      }),
    )

/** V8: a quarantined batch is released. */
export const batchReleased: LeverMaker = (state, line) =>
  standing(state, line)
    .filter((batch) => batch.quarantined)
    .map(
      (batch): Lever => ({
        what: 'BATCH_RELEASED',
        rule: 'V8',
        resource: { kind: 'BATCH', id: idOf(state, batch) },
        days: [0],
        most: 1,
        pull: (amount) => change(state, line, batch, { ready: batch.ready, quarantined: amount === 0 }),
        by: () => undefined,
      }),
    )

function standing(state: State, line: LineModel): Batch[] {
  return batchesOf(state, line).filter((batch) => batch.standing >= 0)
}

function idOf(state: State, batch: Batch): string {
  return state.model.problem.batches[batch.standing].id
}

/** Changes a standing batch and what follows from it (V5, V7); undefined where a run of the plan would break. */
function change(
  state: State,
  line: LineModel,
  batch: Batch,
  to: { ready: number; quarantined: boolean },
): { line: LineModel; undo: () => void } | undefined {
  const { model } = state
  const beer = model.beers[batch.beer]
  const stands =
    batch.fermenter < 0 ? batch.transferOn + beer.brightDays + beer.maxBrightDays : to.ready + beer.maxTankDays
  const last = to.quarantined ? Number.POSITIVE_INFINITY : Math.max(stands, model.sites[batch.site].firstFillDay)
  const breaks = batch.runs.some((run) => {
    const { bright, primingWindow } = model.packs[run.pack]
    return (!bright && run.day > last) || (primingWindow >= 0 && run.day > to.ready + primingWindow)
  })
  if (breaks || (batch.transferOn > last && batch.fermenter >= 0)) return undefined
  const undo = all([
    swap(batch, 'ready', to.ready),
    swap(batch, 'quarantined', to.quarantined),
    swap(batch, 'fermenterDeadline', last),
  ])
  refresh(state, batch)
  return {
    line,
    undo: () => {
      undo()
      refresh(state, batch)
    },
  }
}

/** V3: one more vessel at a site like the largest that the beer may use, from a day on. */
export const vesselFree: LeverMaker = (state, line) => {
  const { model } = state
  const beer = model.beers[line.beer]
  return sitesOf(state, line).flatMap((site) =>
    (['fermenters', 'brights'] as const).flatMap((kind): Lever[] => {
      if (kind === 'brights' && !model.packs[line.pack].bright) return []
      const like = largestOf(state, model.sites[site][kind], kind === 'fermenters' ? beer.allowed : undefined)
      if (like === undefined) return []
      const { id } = model.vessels[like]
      return [
        {
          what: 'VESSEL_FREE',
          rule: 'V3',
          resource: { kind: 'VESSEL', id },
          days: Array.from({ length: Math.max(1, Math.min(model.horizon, line.dueOn + 1)) }, (_, day) => day),
          most: 1,
          pull: (amount, day) => ({ line, undo: amount > 0 ? addVessel(state, line, like, day) : () => {} }),
          by: (_, day) => day,
        },
      ]
    }),
  )
}

function addVessel(state: State, line: LineModel, like: number, from: number): () => void {
  const { model } = state
  const index = model.vessels.length
  const vessel = { ...model.vessels[like], id: '', availableFrom: from, outOfService: [] }
  model.vessels.push(vessel)
  state.stays.push([])
  const site = model.sites[vessel.site]
  const list = vessel.bright ? 'brights' : 'fermenters'
  const beer = model.beers[line.beer]
  return all([
    () => {
      model.vessels.pop()
      state.stays.pop()
    },
    swap(site, list, [...site[list], index]),
    swap(beer, 'allowed', Uint8Array.from([...beer.allowed, 1])),
  ])
}
