// What stands where in the exact model: stays of batches in vessels, and the brews and transfers that begin them.
import type { Instance } from '../bound/instance.ts'
import { each, type Term } from '../bound/linear-model.ts'
import type { Batch, Beer, Vessel } from '../documents/problem.ts'
import type { PricedModel } from './priced-model.ts'

/** A stay of one batch in one vessel, both days included; 1 in the model where it is in the plan. */
export interface Span {
  column: number
  vessel: Vessel
  beer: Beer
  from: number
  /** Day on which the vessel is empty again; the horizon's length where the beer stays beyond it. */
  to: number
  /** First day on which packs may be drawn from this vessel (V4). */
  drawFrom: number
  /** The batch's ready day, and whether it has live yeast (V7). */
  ready: number
  primable: boolean
  /** Most litres that can be drawn in this stay. */
  most: number
  /** The batch, where it stands already. */
  standing?: Batch
  /** First draw from this vessel, where it lies before today (V10). */
  openedOn?: number
}

export interface BrewStart {
  vessel: Vessel
  beer: Beer
  day: number
  spans: Span[]
  /** 1 where one of them is in the plan. */
  there: number
  litres: number
}

/** A transfer into a bright vessel; the columns say whether, and how many litres. */
export interface Move {
  /** One of the stays that it may end: those with this vessel, beer, last day and days left for priming. */
  source: Span
  /** All of these. */
  sources: readonly Span[]
  to: Vessel
  day: number
  chosen: number
  litres: number
}

/** Beer that enters a vessel on one day, or stands there today: the stays that it may begin, and its litres. */
export interface Arrival {
  /** Not empty; alike in all but their ends. */
  spans: readonly Span[]
  /** Drawable litres that come in. */
  brought: readonly Term[]
  /** Drawable litres that are there today. */
  standing: number
  /** Litres dumped in the course of the stay, as a column. */
  dumped: number
}

export interface Cellar {
  spans: Map<Vessel, Span[]>
  brews: BrewStart[]
  moves: Move[]
  arrivals: Arrival[]
}

/** V3: nothing planned enters a vessel before it is available, or stands in it while it is out of service. */
export function mayStand(instance: Instance, vessel: Vessel, from: number, to: number): boolean {
  if (vessel.availableFrom !== undefined && from < instance.at(vessel.availableFrom)) return false
  const last = Math.min(to, instance.horizon - 1)
  return !vessel.outOfService.some((out) => instance.at(out.from) <= last && from <= instance.at(out.to))
}

/** A column that is 1 where one of these stays is in the plan, and 0 where none is: the solver decides on it sooner than on their ends. */
export function addThere(model: PricedModel, spans: readonly Span[]): number {
  const there = model.rows.binary()
  model.rows.equal([...each(columnsOf(spans)), [there, -1]], 0)
  return there
}

/** The columns of stays. */
export function columnsOf(spans: readonly Span[]): number[] {
  return spans.map((span) => span.column)
}
