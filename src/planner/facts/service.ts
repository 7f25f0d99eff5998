// How well a plan serves: what of the litres that are wanted comes on time, late or not at all.
import { brewsOf } from '../documents/brews.ts'
import type { Plan, Problem } from '../documents/problem.ts'

/** Nominal litres (section 8) unless the name says otherwise. */
export interface Service {
  litresWanted: number
  /** Served on the wanted or, of a promised line, the promised day or before. */
  litresOnTime: number
  litresLate: number
  litresUnserved: number
  /** Order lines. */
  lines: number
  /** Wholly served, on time. */
  linesOnTime: number
  /** Wholly served, but some of it late. */
  linesLate: number
  /** Not wholly served. */
  linesUnserved: number
  /** F2. */
  brokenPromises: number
  /** V1. */
  brews: number
  litresDumped: number
}

/** The service of a plan for its problem; lines that the problem does not have count nothing. */
export function serviceOf(problem: Problem, plan: Plan): Service {
  const types = new Map(problem.containerTypes.map(({ id, nominalLitres }) => [id, nominalLitres]))
  const packLitres = new Map(
    problem.beers.flatMap(({ packs }) => packs.map((pack) => [pack.id, types.get(pack.containerTypeId) ?? 0] as const)),
  )
  const served = new Map<string, { onTime: number; late: number }>()
  const lines = new Map(problem.orderLines.map((line) => [line.id, line]))
  for (const { orderLineId, serveOn, from } of plan.deliveries) {
    const line = lines.get(orderLineId)
    if (!line) continue
    const of = served.get(orderLineId) ?? { onTime: 0, late: 0 }
    const quantity = from.reduce((sum, each) => sum + each.quantity, 0)
    if (serveOn <= (line.promisedOn ?? line.serveOn)) of.onTime += quantity
    else of.late += quantity
    served.set(orderLineId, of)
  }
  const sites = new Map(problem.sites.map((site) => [site.id, site]))
  const siteOf = new Map(problem.vessels.map(({ id, siteId }) => [id, sites.get(siteId)]))
  const service: Service = {
    litresWanted: 0,
    litresOnTime: 0,
    litresLate: 0,
    litresUnserved: 0,
    lines: problem.orderLines.length,
    linesOnTime: 0,
    linesLate: 0,
    linesUnserved: 0,
    brokenPromises: plan.brokenPromises?.length ?? 0,
    brews: plan.brews.reduce((sum, { vesselId, litres }) => sum + brewsOf(litres, siteOf.get(vesselId)?.brewLitres), 0),
    litresDumped: plan.dumped.reduce((sum, { litres }) => sum + litres, 0),
  }
  for (const { id, packId, quantity } of problem.orderLines) {
    const litres = packLitres.get(packId) ?? 0
    const { onTime, late } = served.get(id) ?? { onTime: 0, late: 0 }
    service.litresWanted += quantity * litres
    service.litresOnTime += onTime * litres
    service.litresLate += late * litres
    service.litresUnserved += Math.max(0, quantity - onTime - late) * litres
    if (onTime >= quantity) service.linesOnTime += 1
    else if (onTime + late >= quantity) service.linesLate += 1
    else service.linesUnserved += 1
  }
  return service
}
