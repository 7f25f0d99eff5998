// What a plan had for a day, in the order in which a day goes: what is assumed to have happened when nothing else was said.
import { addDays, type LocalDate, type Plan, type Problem } from '../planner/documents/index.ts'

/** A planned decision of a day, of a kind that may be assumed. */
export type PlannedWork =
  | { kind: 'BREW'; id: string; siteId: string }
  | { kind: 'TRANSFER'; id: string; batchId: string; siteId: string }
  | { kind: 'FILL_RUN'; id: string; quantity: number; siteId: string }
  | { kind: 'DISPATCH'; orderLineId: string; siteId: string }

/**
 * The brews, fills from fermenters, transfers, fills from bright vessels and dispatches that the plan has for a day, in this
 * order (T4). Dumping is none of them: it is done by a person who says so.
 */
export function plannedWork(problem: Problem, plan: Plan, day: LocalDate): PlannedWork[] {
  const siteOfVessel = new Map(problem.vessels.map(({ id, siteId }) => [id, siteId]))
  const siteOfFiller = new Map(problem.fillers.map(({ id, siteId }) => [id, siteId]))
  const siteOfRoute = new Map(problem.routes.map(({ id, siteId }) => [id, siteId]))
  const drawnFrom = new Map(problem.beers.flatMap(({ packs }) => packs.map(({ id, drawFrom }) => [id, drawFrom])))
  const runs = plan.fillRuns.filter(({ on }) => on === day)
  const fills = (from: 'FERMENTER' | 'BRIGHT') =>
    runs
      .filter(({ packId }) => drawnFrom.get(packId) === from)
      .map(({ id, quantity, fillerId }) => work('FILL_RUN', siteOfFiller.get(fillerId), { id, quantity }))
  const lines = new Set(
    plan.deliveries.filter(({ dispatchOn }) => dispatchOn === day).map(({ orderLineId }) => orderLineId),
  )
  const routeOf = new Map(plan.deliveries.map(({ orderLineId, routeId }) => [orderLineId, routeId]))
  return [
    ...plan.brews
      .filter(({ brewOn }) => brewOn === day)
      .map(({ id, vesselId }) => work('BREW', siteOfVessel.get(vesselId), { id })),
    ...fills('FERMENTER'),
    ...plan.transfers
      .filter(({ on }) => on === day)
      .map(({ id, batchId, toVesselId }) => work('TRANSFER', siteOfVessel.get(toVesselId), { id, batchId })),
    ...fills('BRIGHT'),
    ...[...lines].map((orderLineId) =>
      work('DISPATCH', siteOfRoute.get(routeOf.get(orderLineId) ?? ''), { orderLineId }),
    ),
  ].flat()
}

/** Work at a site; nothing where the site of it is not known any more. */
function work<Kind extends PlannedWork['kind']>(
  kind: Kind,
  siteId: string | undefined,
  rest: Omit<Extract<PlannedWork, { kind: Kind }>, 'kind' | 'siteId'>,
) {
  return siteId === undefined ? [] : [{ kind, siteId, ...rest }]
}

/** The delivery of a line that leaves next; a line that is split has two. Undefined where none is planned. */
export function nextDelivery(plan: Plan | undefined, orderLineId: string): Plan['deliveries'][number] | undefined {
  const own = plan?.deliveries.filter((each) => each.orderLineId === orderLineId) ?? []
  return own.reduce<Plan['deliveries'][number] | undefined>(
    (next, each) => (next === undefined || each.dispatchOn < next.dispatchOn ? each : next),
    undefined,
  )
}

/** The days from the one after `through` to the one before `today`, oldest first. */
export function daysOver(through: LocalDate, today: LocalDate): LocalDate[] {
  const days: LocalDate[] = []
  for (let day = addDays(through, 1); day < today; day = addDays(day, 1)) days.push(day)
  return days
}
