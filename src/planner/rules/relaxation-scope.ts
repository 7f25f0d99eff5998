// What a line that is explained could draw on: its sites, the batches of its beer there, vessels like theirs.
import type { Reason } from '../documents/reason.ts'
import type { Batch } from '../model/batch.ts'
import { element } from '../model/element.ts'
import type { FillerModel, LineModel, PackModel, RouteModel, SiteModel, VesselModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { byLeastFill } from '../model/vessels.ts'

/** The pack that the line asks for. */
export function packOf({ model }: State, line: LineModel): PackModel {
  return element(model.packs, line.pack)
}

/** Sites whose routes reach the line's account. */
export function sitesOf({ model }: State, line: LineModel): number[] {
  return [...new Set(element(model.accounts, line.account).routes.map((route) => element(model.routes, route).site))]
}

/** The same sites as the model has them. */
export function siteModelsOf(state: State, line: LineModel): SiteModel[] {
  return sitesOf(state, line).map((site) => element(state.model.sites, site))
}

/** Batches of the line's beer at its sites. */
export function batchesOf(state: State, line: LineModel): Batch[] {
  return sitesOf(state, line).flatMap((site) => state.batches[line.beer * state.model.sites.length + site] ?? [])
}

/** The first of the largest of some vessels, where need be only of those that a beer may use; undefined where there is none. */
export function largestOf({ model }: State, vessels: readonly number[], allowed?: Uint8Array): VesselModel | undefined {
  let largest: VesselModel | undefined
  for (const index of vessels) {
    if (allowed && !allowed[index]) continue
    const vessel = element(model.vessels, index)
    if (largest === undefined || vessel.capacity > largest.capacity) largest = vessel
  }
  return largest
}

/** Puts one more vessel into the model, empty, that the line's beer may use. */
export function enterVessel(log: UndoLog, line: LineModel, vessel: VesselModel): void {
  const { model, stays } = log.state
  const { vessels } = model
  const index = vessels.length
  log.also(
    () => {
      vessels.push(vessel)
      stays.push([])
    },
    () => {
      vessels.pop()
      stays.pop()
    },
  )
  const site = element(model.sites, vessel.site)
  const list = vessel.bright ? 'brights' : 'fermenters'
  log.swap(site, list, [...site[list], index])
  log.swap(site, 'brewOrder', byLeastFill(vessels, site.fermenters))
  const beer = element(model.beers, line.beer)
  const allowed = new Uint8Array(index + 1)
  allowed.set(beer.allowed)
  allowed[index] = 1
  log.swap(beer, 'allowed', allowed)
}

/** Whether a filler fills containers of a type at all. */
export function fills({ each }: FillerModel, type: number): boolean {
  return Number.isFinite(element(each, type))
}

/** Does something hold on every one of the first so many days of the horizon? */
export function isAlways(days: number, holds: (day: number) => boolean): boolean {
  for (let day = 0; day < days; day++) if (!holds(day)) return false
  return true
}

/** What a reason names where only one thing of its kind can be in the way; of several none is known to be the one. */
export function onlyOne(kind: string, those: readonly { id: string }[]): Reason['resource'] {
  const [first, ...others] = those
  return first === undefined || others.length > 0 ? undefined : { kind, id: first.id }
}

/** The site of a line, to name in its reasons; undefined where it has several. */
export function onlySite(state: State, line: LineModel): Reason['resource'] {
  return onlyOne('SITE', siteModelsOf(state, line))
}

/** The routes that reach the line's account. */
export function routesOf({ model }: State, line: LineModel): RouteModel[] {
  return element(model.accounts, line.account).routes.map((route) => element(model.routes, route))
}

/** The beer of a line, to name in its reasons. */
export function beerOf({ model }: State, line: LineModel): { kind: 'BEER'; id: string } {
  return { kind: 'BEER', id: element(model.beers, line.beer).id }
}
