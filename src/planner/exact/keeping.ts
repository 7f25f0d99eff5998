// The exact model's plan in force: which of its decisions stay (churn), and which have to (F1). A decision stays where one
// of its id is as it was, so that the model says which batch bears which id: a brew on another day may still be the batch
// that the runs in force draw from.
import type { Instance } from '../bound/instance.ts'
import { each } from '../bound/linear-model.ts'
import type { Plan } from '../documents/problem.ts'
import type { Fill } from './filling.ts'
import type { Decided, InForce } from './in-force.ts'
import { LITRE_SLACK, type PricedModel } from './priced-model.ts'
import type { Cellar, Move, Span } from './stays.ts'

/** A column that is 1 where something of the plan is what the plan in force calls so. */
interface Named<Thing> {
  thing: Thing
  column: number
}

/** A batch id of the plan in force, and the stays and transfers of the batch that bears it. */
interface NamedBatch {
  id: string
  stays: Named<Span>[]
  moves: Named<Move>[]
}

/** A decision of the plan in force, and the ways in which it stays. */
interface Kept<Decision, Thing> extends Decided<Decision> {
  ways: Named<Thing>[]
}

export interface Keeping {
  batches: NamedBatch[]
  brews: Kept<Plan['brews'][number], Span>[]
  transfers: Kept<Plan['transfers'][number], Move>[]
  runs: Kept<Plan['fillRuns'][number], Fill>[]
  /** False where a decision that has to stay can not: this model has no solution then. */
  holds: boolean
}

interface Parts {
  model: PricedModel
  instance: Instance
  inForce: InForce
  cellar: Cellar
  fills: readonly Fill[]
}

/** Adds the plan in force: the cost of what does not stay, and what has to stay. */
export function addKeeping(parts: Parts): Keeping {
  const { model, inForce, cellar } = parts
  const { brews, transfers, runs } = inForce
  const ids = [
    ...brews.map(({ decision }) => decision.id),
    ...[...transfers, ...runs].map(({ decision }) => decision.batchId),
  ]
  const batches = [...new Set(ids)].map((id) => addBatch(parts, id))
  // A planned stay has one id.
  const named = new Map<Span, number[]>()
  for (const { stays } of batches)
    for (const { thing, column } of stays)
      if (column !== thing.column && thing.vessel.kind === 'FERMENTER')
        named.set(thing, [...(named.get(thing) ?? []), column])
  for (const [span, columns] of named) model.rows.atMost([...each(columns), [span.column, -1]], 0)
  const of = (id: string) => batches.find((batch) => batch.id === id)
  const keeping: Keeping = {
    batches,
    brews: brews.map((one) => ({
      ...one,
      ways: (of(one.decision.id)?.stays ?? []).filter(({ thing }) => isThatBrew(one, thing)),
    })),
    transfers: transfers.map((one) => ({
      ...one,
      ways: (of(one.decision.batchId)?.moves ?? []).filter(({ thing }) => isThatTransfer(one, thing)),
    })),
    runs: runs.map((one) => ({ ...one, ways: waysOfRun(parts, of(one.decision.batchId)?.stays ?? [], one) })),
    holds: true,
  }
  for (const { ways } of [...keeping.brews, ...keeping.transfers, ...keeping.runs]) {
    model.chargeAlways('churn', parts.instance.costs.churn)
    for (const { column } of ways) model.charge(column, 'churn', -parts.instance.costs.churn)
  }
  const all = [...keeping.brews, ...keeping.transfers, ...keeping.runs]
  keeping.holds = all.every(({ held, ways }) => !held || ways.length > 0)
  if (keeping.holds) {
    hold(parts, keeping)
    freeze(model, cellar, parts.fills, keeping, inForce.frozenUntil)
  }
  return keeping
}

/** Which stays and transfers may be those of the batch with an id of the plan in force. */
function addBatch(parts: Parts, id: string): NamedBatch {
  const { model, cellar } = parts
  const spans = [...cellar.spans.values()].flat()
  const standing = spans.filter((span) => span.standing?.id === id)
  const batch: NamedBatch = { id, stays: standing.map((thing) => ({ thing, column: thing.column })), moves: [] }
  if (standing.length === 0) {
    const planned = cellar.brews.flatMap((brew) => brew.spans).filter((span) => isOfUse(parts, id, span))
    batch.stays = planned.map((thing) => ({ thing, column: model.rows.binary() }))
    model.rows.atMost(each(batch.stays.map(({ column }) => column)), 1)
  }
  const used = cellar.moves.filter((move) => isMoveOfUse(parts, id, move))
  for (const move of used) {
    const from = batch.stays.filter(({ thing }) => move.sources.includes(thing))
    if (from.length === 0) continue
    const column = model.rows.column({ upper: 1 })
    const sources = from.map((stay) => stay.column)
    model.rows.atMost([...each([column]), ...each([move.chosen], -1)], 0)
    model.rows.atMost([...each([column]), ...each(sources, -1)], 0)
    batch.moves.push({ thing: move, column })
  }
  addBrightStays(model, spans, batch)
  return batch
}

/** The stays in bright vessels that begin with the batch's transfers. */
function addBrightStays(model: PricedModel, spans: readonly Span[], batch: NamedBatch): void {
  const arrivals = new Map<string, Named<Move>[]>()
  for (const move of batch.moves) {
    const key = JSON.stringify([move.thing.to.id, move.thing.day])
    arrivals.set(key, [...(arrivals.get(key) ?? []), move])
  }
  for (const moves of arrivals.values()) {
    const { to, day } = moves[0]!.thing
    const begun = spans.filter((span) => !span.standing && span.vessel === to && span.from === day)
    const stays = begun.map((thing) => ({ thing, column: model.rows.column({ upper: 1 }) }))
    for (const { thing, column } of stays) model.rows.atMost([...each([column]), ...each([thing.column], -1)], 0)
    const arrived = moves.map(({ column }) => column)
    model.rows.atMost([...each(stays.map(({ column }) => column)), ...each(arrived, -1)], 0)
    batch.stays.push(...stays)
  }
}

/** Whether anything of the plan in force stays where that planned stay bears that id. */
function isOfUse({ inForce, instance }: Parts, id: string, span: Span): boolean {
  const { brews, transfers, runs } = inForce
  if (brews.some((one) => one.decision.id === id && isThatBrew(one, span))) return true
  if (transfers.some(({ decision, day }) => decision.batchId === id && day === span.to)) return true
  return runs.some(({ decision, day }) => {
    if (decision.batchId !== id || instance.pack(decision.packId).beer !== span.beer) return false
    const bright = instance.pack(decision.packId).pack.drawFrom === 'BRIGHT'
    return bright ? span.to <= day : span.drawFrom <= day && day <= span.to
  })
}

function isMoveOfUse({ inForce, instance }: Parts, id: string, move: Move): boolean {
  if (inForce.transfers.some((one) => one.decision.batchId === id && isThatTransfer(one, move))) return true
  return inForce.runs.some(({ decision, day }) => {
    const { beer, pack } = instance.pack(decision.packId)
    return decision.batchId === id && pack.drawFrom === 'BRIGHT' && beer === move.source.beer && move.day <= day
  })
}

function isThatBrew(
  { decision, day }: Decided<Plan['brews'][number]>,
  { vessel, beer, from, standing }: Span,
): boolean {
  return !standing && vessel.id === decision.vesselId && beer.id === decision.beerId && from === day
}

function isThatTransfer({ decision, day }: Decided<Plan['transfers'][number]>, move: Move): boolean {
  return move.to.id === decision.toVesselId && move.day === day
}

/** The fills that a run of the plan in force may be: of the pack, filler and day, from a stay of its batch. */
function waysOfRun(
  { model, fills }: Parts,
  stays: readonly Named<Span>[],
  { decision, day }: Decided<Plan['fillRuns'][number]>,
): Named<Fill>[] {
  return fills.flatMap((fill) => {
    if (fill.filler.id !== decision.fillerId || fill.day !== day || fill.facts.pack.id !== decision.packId) return []
    const drawn = stays.filter(({ thing }) => thing.vessel === fill.vessel && thing.drawFrom <= day && day <= thing.to)
    if (drawn.length === 0) return []
    const column = model.rows.column({ upper: 1 })
    const from = drawn.map((stay) => stay.column)
    model.rows.atMost([...each([column]), ...each([fill.column], -1)], 0)
    model.rows.atMost([...each([column]), ...each(from, -1)], 0)
    return [{ thing: fill, column }]
  })
}

/** F1: what is frozen or fixed is there, and as much of it as before. */
function hold({ model, cellar }: Parts, keeping: Keeping): void {
  for (const { held, ways } of [...keeping.brews, ...keeping.transfers, ...keeping.runs])
    if (held) model.rows.equal(each(ways.map(({ column }) => column)), 1)
  const as = (columns: readonly number[], litres: number) =>
    model.rows.row(each(columns), litres - LITRE_SLACK, litres + LITRE_SLACK)
  for (const { held, ways, decision } of keeping.brews) {
    const brew = cellar.brews.find(({ spans }) => ways.some(({ thing }) => spans.includes(thing)))
    if (held && brew) as([brew.litres], decision.litres)
  }
  for (const one of keeping.transfers) {
    const arriving = cellar.moves.filter((move) => isThatTransfer(one, move))
    if (one.held)
      as(
        arriving.map(({ litres }) => litres),
        one.decision.litres,
      )
  }
  for (const { held, ways, decision } of keeping.runs)
    for (const { thing, column } of held ? ways : []) {
      const { quantity } = decision
      model.rows.row([...each([thing.column]), ...each([column], -quantity)], 0, Number.POSITIVE_INFINITY)
      const more = Math.max(0, thing.limit - quantity)
      model.rows.atMost([...each([thing.column]), ...each([column], more)], quantity + more)
    }
}

/** F1: on frozen days there is nothing that was not there. */
function freeze(
  model: PricedModel,
  cellar: Cellar,
  fills: readonly Fill[],
  { brews, transfers, runs }: Keeping,
  frozenUntil: number,
): void {
  const waysOf = <Thing>(kept: readonly { held: boolean; ways: readonly Named<Thing>[] }[], wanted: Thing) =>
    kept.flatMap(({ held, ways }) => (held ? ways.filter(({ thing }) => thing === wanted) : []))
  for (const span of cellar.brews.flatMap(({ day, spans }) => (day < frozenUntil ? spans : []))) {
    const ways = waysOf(brews, span).map(({ column }) => column)
    model.rows.atMost([...each([span.column]), ...each(ways, -1)], 0)
  }
  for (const move of cellar.moves.filter(({ day }) => day < frozenUntil)) {
    const ways = waysOf(transfers, move).map(({ column }) => column)
    model.rows.atMost([...each([move.chosen]), ...each(ways, -1)], 0)
  }
  for (const fill of fills.filter(({ day }) => day < frozenUntil)) {
    const there = runs.flatMap(({ ways, decision }) =>
      ways.filter(({ thing }) => thing === fill).flatMap(({ column }) => each([column], -decision.quantity)),
    )
    model.rows.atMost([...each([fill.column]), ...there], 0)
  }
}
