// Shapes that the inputs of set-up share. Limits of planning values are the planner's own (problem.ts).
import { z } from 'zod'
import { localDate, problemShape } from '../../planner/documents/index.ts'

const { sites, vessels, beers, containerTypes, fillers, fleets, stores, routes, accounts, batches, stock } =
  problemShape.shape

/** The planner's shapes, field by field. */
export const planned = {
  site: sites.element.shape,
  vessel: vessels.element.shape,
  beer: beers.element.shape,
  pack: beers.element.shape.packs.element.shape,
  containerType: containerTypes.element.shape,
  filler: fillers.element.shape,
  fleet: fleets.element.shape,
  store: stores.element.shape,
  route: routes.element.shape,
  account: accounts.element.shape,
  batch: batches.element.shape,
  lot: stock.element.shape,
}

/** A name that people read, or a code. */
export const name = z.string().trim().min(1).max(200)
/** The caller's own reference. */
export const externalRef = z.string().trim().min(1).max(200).optional()

/** Most days of a list of days. */
export const MOST_DAYS = 4000
/** A list of days; repetitions count once. */
export const listOfDays = z
  .array(localDate)
  .max(MOST_DAYS)
  .transform((days) => [...new Set(days)].sort())

/** ISO weekdays; repetitions count once. */
export const listOfWeekdays = planned.site.brewWeekdays.transform((days) => [...new Set(days)].sort((a, b) => a - b))
