// Levers of brewhouse and cellar: more brews or transfers a day, a batch ready earlier or released, one more vessel.
import type { Batch } from '../model/batch.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import { refresh } from '../model/refresh.ts'
import type { State } from '../model/state.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { batchesOf, enterVessel, largestOf, packOf, siteModelsOf } from '../rules/relaxation-scope.ts'
import type { Lever, LeverMaker } from './relief.ts'

/** More brews than these no brewhouse adds to its day. */
const MOST_BREWS = 8
/** More transfers than these no cellar adds to its day. */
const MOST_TRANSFERS = 8

/** V1: so many brews more at a site, every day that has no limit of its own. */
export const brewsPerDay: LeverMaker = (state, line) =>
  siteModelsOf(state, line).map(
    (site): Lever => ({
      what: 'BREWS_PER_DAY',
      rule: 'V1',
      resource: { kind: 'SITE', id: site.id },
      days: [0],
      most: MOST_BREWS,
      pull: (log, amount) => {
        log.swap(site, 'brewsPerDay', site.brewsPerDay + amount)
        return line
      },
      by: () => undefined,
    }),
  )

/** V11: so many transfers more at a site, every day that has no limit of its own. */
export const transfersPerDay: LeverMaker = (state, line) =>
  siteModelsOf(state, line)
    .filter((site) => Number.isFinite(site.transfersPerDay))
    .map(
      (site): Lever => ({
        what: 'TRANSFERS_PER_DAY',
        rule: 'V11',
        resource: { kind: 'SITE', id: site.id },
        days: [0],
        most: MOST_TRANSFERS,
        pull: (log, amount) => {
          log.swap(site, 'transfersPerDay', site.transfersPerDay + amount)
          return line
        },
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
        pull: (log, amount) =>
          change(log, batch, { ready: batch.ready - amount, quarantined: false }) ? line : undefined,
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
        pull: (log, amount) =>
          change(log, batch, { ready: batch.ready, quarantined: amount === 0 }) ? line : undefined,
        by: () => undefined,
      }),
    )

function standing(state: State, line: LineModel): Batch[] {
  return batchesOf(state, line).filter((batch) => batch.standing >= 0)
}

function idOf(state: State, batch: Batch): string {
  return element(state.model.problem.batches, batch.standing).id
}

/** Changes a standing batch and what follows from it (V5, V7); false where a run of the plan would break. */
function change(log: UndoLog, batch: Batch, to: Pick<Batch, 'ready' | 'quarantined'>): boolean {
  const { state } = log
  const { model } = state
  const beer = element(model.beers, batch.beer)
  const stands =
    batch.fermenter < 0 ? batch.transferOn + beer.brightDays + beer.maxBrightDays : to.ready + beer.maxTankDays
  const last = to.quarantined
    ? Number.POSITIVE_INFINITY
    : Math.max(stands, element(model.sites, batch.site).firstFillDay)
  const breaks = batch.runs.some((run) => {
    const { bright, primingWindow } = element(model.packs, run.pack)
    return (!bright && run.day > last) || (primingWindow >= 0 && run.day > to.ready + primingWindow)
  })
  if (breaks || (batch.transferOn > last && batch.fermenter >= 0)) return false
  const { ready, quarantined, fermenterDeadline } = batch
  const set = (values: Pick<Batch, 'ready' | 'quarantined' | 'fermenterDeadline'>) => {
    Object.assign(batch, values)
    refresh(state, batch)
  }
  log.also(
    () => set({ ...to, fermenterDeadline: last }),
    () => set({ ready, quarantined, fermenterDeadline }),
  )
  return true
}

/** V3: one more vessel at a site like the largest that the beer may use, from a day on. */
export const vesselFree: LeverMaker = (state, line) => {
  const { model } = state
  const beer = element(model.beers, line.beer)
  return siteModelsOf(state, line).flatMap((site) =>
    (['fermenters', 'brights'] as const).flatMap((kind): Lever[] => {
      if (kind === 'brights' && !packOf(state, line).bright) return []
      const like = largestOf(state, site[kind], kind === 'fermenters' ? beer.allowed : undefined)
      if (like === undefined) return []
      return [
        {
          what: 'VESSEL_FREE',
          rule: 'V3',
          resource: { kind: 'VESSEL', id: like.id },
          days: Array.from({ length: Math.max(1, Math.min(model.horizon, line.dueOn + 1)) }, (_, day) => day),
          most: 1,
          pull: (log, amount, day) => {
            if (amount > 0) enterVessel(log, line, { ...like, id: '', availableFrom: day, outOfService: [] })
            return line
          },
          by: (_, day) => day,
        },
      ]
    }),
  )
}
