// Why a line cannot be served on time even with every limit lifted: what no change of a limit could mend.
import type { Reason } from '../documents/reason.ts'
import { latestFillDay } from '../insertion/days.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import { dispatchesOf, dispatchOptions, firstFillFor, soldUntil } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import { latest } from '../model/work-days.ts'
import { beerOf, fills, onlyOne, packOf, sitesOf } from '../rules/relaxation-scope.ts'
import { onTimeVariant } from './on-time.ts'

/** Answers whether a line is served on time with every limit lifted. */
export type ServedAtBest = (asked: LineModel) => boolean

/**
 * The reasons of a line that is not served on time even with every limit lifted; at least one. `line` is as if placed in
 * time for every day of its routes (B6).
 */
export function beyondLimits(state: State, line: LineModel, servedAtBest: ServedAtBest): Reason[] {
  const stock = fitsSomeLot(state, line) ? [stockIsShort(state, line)] : []
  const spans = fillSpans(state, line)
  if (spans.length === 0) return [noDayToFill(state, line), ...stock]
  if (!sitesOf(state, line).some((site) => canBeFilledAt(state, line, site))) return [noFiller(state, line), ...stock]
  const beer = beerOf(state, line)
  if (!spans.some((span) => canBeBrewedFor(state, line, span)))
    return [{ rule: 'V9', code: 'BEER_SOLD_OUT', params: { beerId: beer.id }, resource: beer }]
  // Where a single container could be served, it is the quantity.
  if (servedAtBest({ ...line, quantity: 1 })) return [{ rule: 'A3', code: 'ASKS_TOO_MUCH' }]
  if (servedWithDaysOnSale(state, line, servedAtBest))
    return [{ rule: 'B4', code: 'NO_DAYS_ON_SALE', params: { packId: packOf(state, line).id } }]
  return [{ rule: 'B5', code: 'DAYS_DO_NOT_MEET', params: { packId: packOf(state, line).id } }]
}

/** B2, F1: no route leaves in time. */
export function noDispatch(state: State, line: LineModel): Reason {
  const { model } = state
  const { id, routeIds } = element(model.problem.accounts, line.account)
  const params = { accountId: id }
  const routes = routeIds.map((routeId) => ({ id: routeId }))
  const account = { kind: 'ACCOUNT', id }
  if (routeIds.length === 0) return { rule: 'B2', code: 'ON_NO_ROUTE', params, resource: account }
  const sooner = { ...line, notBefore: 0, latestServeOn: Math.min(line.latestServeOn, line.dueOn) }
  // Within the frozen days a promised line is not brought forward.
  if (line.notBefore > line.serveOn && dispatchOptions(model, sooner).length > 0)
    return { rule: 'F1', code: 'PROMISE_NOT_FORWARD', params, resource: account }
  return { rule: 'B2', code: 'NO_ROUTE_IN_TIME', params, resource: onlyOne('ROUTE', routes) ?? account }
}

/** B3: no fill from today on would be in time. */
export function noDayToFill(state: State, line: LineModel): Reason {
  return {
    rule: 'B3',
    code: 'NO_DAY_TO_FILL',
    params: { packId: packOf(state, line).id },
    resource: { kind: 'ACCOUNT', id: element(state.model.problem.accounts, line.account).id },
  }
}

/** A2: what stock would be fit for the line does not suffice. */
function stockIsShort(state: State, line: LineModel): Reason {
  const { id } = packOf(state, line)
  return { rule: 'A2', code: 'STOCK_IS_SHORT', params: { packId: id }, resource: { kind: 'PACK', id } }
}

/** L1: no filler that could fill for the line fills containers of its type. */
function noFiller(state: State, line: LineModel): Reason {
  const { id } = element(state.model.types, packOf(state, line).type)
  const resource = { kind: 'CONTAINER_TYPE', id }
  return { rule: 'L1', code: 'NO_FILLER_FILLS_IT', params: { containerTypeId: id }, resource }
}

/** Whether any stock lot that is not quarantined, were it not given to others, could serve the line on time (B3, B4, V8). */
function fitsSomeLot({ model }: State, line: LineModel): boolean {
  const dispatches = dispatchesOf(model, onTimeVariant(line).options)
  return element(model.lotsByPack, line.pack).some((index) => {
    const { site, readyOn, bestBefore, quarantined } = element(model.lots, index)
    if (quarantined) return false
    return dispatches.some(
      (each) => each.site === site && readyOn <= each.on && bestBefore >= soldUntil(model, line, each.serve),
    )
  })
}

/** Days of a site between which a fill would be in time, the last of them a fill day (T2). */
interface FillSpan {
  site: number
  from: number
  to: number
}

/** For each dispatch that is on time the days from today on of a fill that it could take (B3, B4), frozen or not. */
function fillSpans(state: State, line: LineModel): FillSpan[] {
  const { model } = state
  const { conditioning } = packOf(state, line)
  return dispatchesOf(model, onTimeVariant(line).options).flatMap(({ site, on, serve }): FillSpan[] => {
    const from = Math.max(0, firstFillFor(model, line, serve))
    const to = latestFillDay(state, site, on - conditioning, from)
    return to >= 0 ? [{ site, from, to }] : []
  })
}

function canBeFilledAt(state: State, line: LineModel, site: number): boolean {
  const { model } = state
  const { type } = packOf(state, line)
  return element(model.sites, site).fillers.some((filler) => fills(element(model.fillers, filler), type))
}

/** Whether the beer could be brewed for a fill of these days at all, were it ready at once, and vessels free. */
function canBeBrewedFor(state: State, line: LineModel, { site, to }: FillSpan): boolean {
  const { model } = state
  const { brewBy, fermenters, brights } = element(model.sites, site)
  const { allowed, brightDays } = element(model.beers, line.beer)
  const { bright } = packOf(state, line)
  if (!fermenters.some((vessel) => allowed[vessel]) || (bright && brights.length === 0)) return false
  return latest(brewBy, to - (bright ? brightDays : 0), 0) >= 0
}

/** B4: whether it would be served if the beer kept for ever. */
function servedWithDaysOnSale(state: State, line: LineModel, servedAtBest: ServedAtBest): boolean {
  const { model } = state
  const pack = packOf(state, line)
  const log = new UndoLog(state)
  try {
    log.swap(pack, 'shelf', pack.shelf + model.horizon)
    log.swap(element(model.accounts, line.account), 'minDaysOnSale', 0)
    return servedAtBest(line)
  } finally {
    log.undo()
  }
}
