// What documents may leave out, filled in: the one place, with the shapes (problem.ts), where a default is known.
import { type OrderLine, type Problem, type ProblemDocument, problemShape } from './problem.ts'

/** Things as documents write them: what has a default may be left out. */
export type SiteDocument = ProblemDocument['sites'][number]
export type VesselDocument = ProblemDocument['vessels'][number]
export type FillerDocument = ProblemDocument['fillers'][number]
export type FleetDocument = ProblemDocument['fleets'][number]
export type BeerDocument = ProblemDocument['beers'][number]
export type PackDocument = BeerDocument['packs'][number]
export type ContainerTypeDocument = ProblemDocument['containerTypes'][number]
export type RouteDocument = ProblemDocument['routes'][number]
export type AccountDocument = ProblemDocument['accounts'][number]
export type BatchDocument = ProblemDocument['batches'][number]
export type OrderLineDocument = ProblemDocument['orderLines'][number]

/** The problem with its defaults. Throws a `ZodError` where the document is of the wrong shape: `parseProblem` says faults. */
export function withDefaults(document: ProblemDocument): Problem {
  return problemShape.parse(document)
}

const { priority: anyPriority, splittable: anySplittable } = problemShape.shape.orderLines.element.shape
const PRIORITY = anyPriority.parse(undefined)
const SPLITTABLE = anySplittable.parse(undefined)

/** The line with its defaults. It is not judged: what it names may still be wrong. */
export function lineWithDefaults(line: OrderLineDocument): OrderLine {
  return { ...line, priority: line.priority ?? PRIORITY, splittable: line.splittable ?? SPLITTABLE }
}
