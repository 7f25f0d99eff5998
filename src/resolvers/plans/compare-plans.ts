// What one plan decides otherwise than another: brews, transfers and fill runs, and the order lines that it serves otherwise.
// The planner gives a decision that it moves a new id; here the old and the new one are listed as one that moved.

import type { LocalDate, Plan, Reason } from '../../planner/documents/index.ts'
import { byId, byLine, dayNumber, deliveredByLine, unshared } from '../../planner/documents/index.ts'

export type DecisionKindName = 'BREW' | 'TRANSFER' | 'FILL_RUN'

/** What of a decision can be another. */
export type DecisionPart = 'DAY' | 'AMOUNT' | 'BEER' | 'VESSEL' | 'BATCH' | 'FILLER' | 'PACK'

export interface DecisionSummary {
  kind: DecisionKindName
  id: string
  on: LocalDate
  /** Litres of a brew or transfer, containers of a fill run. */
  amount: number
  /** Of a brew. */
  beerId: string | null
  /** That a brew or a transfer goes into. */
  vesselId: string | null
  /** That a transfer moves or a fill run draws from: one that exists, or a brew of the plan. */
  batchId: string | null
  isPlanned: boolean
  /** Of a fill run. */
  fillerId: string | null
  packId: string | null
}

export interface DecisionChange {
  kind: DecisionKindName
  id: string
  /** Null: it is new. */
  before: DecisionSummary | null
  /** Null: it is gone. */
  after: DecisionSummary | null
  /** What is another, of one that moved. */
  changed: DecisionPart[]
  /** Why, where the plan says so. */
  reasons: Reason[]
}

/** How an order line is served. */
export interface LineService {
  /** Containers. */
  quantity: number
  /** The day of the last delivery; null where there is none. */
  serveOn: LocalDate | null
}

export interface LineChange {
  orderLineId: string
  before: LineService
  after: LineService
}

export interface PlanDifferences {
  added: DecisionChange[]
  /** On another day, with another beer, vessel, batch, filler or pack, or of another amount. */
  moved: DecisionChange[]
  dropped: DecisionChange[]
  lines: LineChange[]
}

/** Days over which a decision that is gone and one that is new can be one that moved. */
const MOST_DAYS_MOVED = 14

/** How `plan` differs from `other`. Each list is in order of day and id. */
export function comparePlans(plan: Plan, other: Plan): PlanDifferences {
  const [before, now] = decisionsApart(other, plan)
  const reasons = new Map((plan.moved ?? []).map((each) => [`${each.kind} ${each.id}`, each.reasons]))
  const change = (was: DecisionSummary | null, is: DecisionSummary | null): DecisionChange[] => {
    const one = is ?? was
    if (!one) return []
    const { kind, id } = one
    const changed = was && is ? partsChanged(was, is) : []
    return [{ kind, id, before: was, after: is, changed, reasons: reasons.get(`${kind} ${was?.id ?? id}`) ?? [] }]
  }
  const pairs = [...before].flatMap(([key, was]): [DecisionSummary, DecisionSummary][] => {
    const is = now.get(key)
    return is ? [[was, is]] : []
  })
  const gone = [...before].filter(([key]) => !now.has(key)).map(([, was]) => was)
  const come = [...now].filter(([key]) => !before.has(key)).map(([, is]) => is)
  pairs.push(...movedOf(gone, come))
  const [from, to] = [new Set(pairs.map(([was]) => was)), new Set(pairs.map(([, is]) => is))]
  return {
    added: inOrder(come.filter((is) => !to.has(is)).flatMap((is) => change(null, is))),
    moved: inOrder(pairs.flatMap(([was, is]) => change(was, is)).filter(({ changed }) => changed.length > 0)),
    dropped: inOrder(gone.filter((was) => !from.has(was)).flatMap((was) => change(was, null))),
    lines: linesOf(unshared(other.deliveries, plan.deliveries, byLine)),
  }
}

/** Decisions that are gone, each with the new one that does the same another time or elsewhere: the nearest first. */
function movedOf(
  gone: readonly DecisionSummary[],
  come: readonly DecisionSummary[],
): [DecisionSummary, DecisionSummary][] {
  const becomes = new Map<string, string>()
  const pairs: [DecisionSummary, DecisionSummary][] = []
  // Brews first: what is drawn from a brew that moved follows it.
  for (const kind of ['BREW', 'TRANSFER', 'FILL_RUN'] as const) {
    const candidates = gone
      .filter((was) => was.kind === kind)
      .flatMap((was) =>
        come
          .filter((is) => is.kind === kind && isAlike(was, is, becomes))
          .map((is) => ({
            was,
            is,
            away: Math.abs(dayNumber(was.on) - dayNumber(is.on)) + partsChanged(was, is).length / 10,
          })),
      )
      .filter(({ away }) => away < MOST_DAYS_MOVED + 1)
      .sort((a, b) => a.away - b.away || (a.was.id + a.is.id < b.was.id + b.is.id ? -1 : 1))
    const taken = new Set<DecisionSummary>()
    for (const { was, is } of candidates) {
      if (taken.has(was) || taken.has(is)) continue
      taken.add(was).add(is)
      pairs.push([was, is])
      if (kind === 'BREW') becomes.set(was.id, is.id)
    }
  }
  return pairs
}

/** Whether one can be the other moved: a brew of the same beer, a transfer of the same batch, a fill of the same pack. */
function isAlike(was: DecisionSummary, is: DecisionSummary, becomes: ReadonlyMap<string, string>): boolean {
  if (was.kind === 'BREW') return was.beerId === is.beerId
  if (was.kind === 'FILL_RUN') return was.packId === is.packId
  return (becomes.get(was.batchId ?? '') ?? was.batchId) === is.batchId
}

function partsChanged(was: DecisionSummary, is: DecisionSummary): DecisionPart[] {
  const parts: [DecisionPart, boolean][] = [
    ['DAY', was.on !== is.on],
    ['AMOUNT', Math.abs(was.amount - is.amount) > 0.001],
    ['BEER', was.beerId !== is.beerId],
    ['VESSEL', was.vesselId !== is.vesselId],
    ['BATCH', was.batchId !== is.batchId],
    ['FILLER', was.fillerId !== is.fillerId],
    ['PACK', was.packId !== is.packId],
  ]
  return parts.flatMap(([part, isOther]) => (isOther ? [part] : []))
}

function inOrder(list: DecisionChange[]): DecisionChange[] {
  const keyOf = ({ before, after, id }: DecisionChange) => `${(after ?? before)?.on ?? ''} ${id}`
  return list.sort((a, b) => (keyOf(a) < keyOf(b) ? -1 : 1))
}

/** The decisions of two plans without those that are the very same in both. */
function decisionsApart(from: Plan, to: Plan): [Map<string, DecisionSummary>, Map<string, DecisionSummary>] {
  const apart = {
    brews: unshared(from.brews, to.brews, byId),
    transfers: unshared(from.transfers, to.transfers, byId),
    fillRuns: unshared(from.fillRuns, to.fillRuns, byId),
  }
  const of = (side: 'from' | 'to') => ({
    brews: apart.brews[side],
    transfers: apart.transfers[side],
    fillRuns: apart.fillRuns[side],
  })
  return [decisionsOf(of('from'), from.brews), decisionsOf(of('to'), to.brews)]
}

type Decisions = { [list in 'brews' | 'transfers' | 'fillRuns']: readonly Plan[list][number][] }

/** By kind and id; `planned` are all brews of their plan. */
function decisionsOf(plan: Decisions, planned: Plan['brews']): Map<string, DecisionSummary> {
  const brews = new Set(planned.map(({ id }) => id))
  const found = new Map<string, DecisionSummary>()
  const add = (kind: DecisionKindName, id: string, on: LocalDate, amount: number, things: Partial<DecisionSummary>) => {
    const nothing = { beerId: null, vesselId: null, batchId: null, fillerId: null, packId: null }
    const isPlanned = brews.has(things.batchId ?? '')
    found.set(`${kind} ${id}`, { kind, id, on, amount, isPlanned, ...nothing, ...things })
  }
  for (const { id, brewOn, litres, beerId, vesselId } of plan.brews)
    add('BREW', id, brewOn, litres, { beerId, vesselId })
  for (const { id, on, litres, batchId, toVesselId } of plan.transfers)
    add('TRANSFER', id, on, litres, { batchId, vesselId: toVesselId })
  for (const { id, on, quantity, batchId, fillerId, packId } of plan.fillRuns)
    add('FILL_RUN', id, on, quantity, { batchId, fillerId, packId })
  return found
}

type Deliveries = readonly Plan['deliveries'][number][]

/** Lines that deliveries serve otherwise than others did. */
function linesOf({ from, to }: Record<'from' | 'to', Deliveries>): LineChange[] {
  const [now, before] = [servicesOf(to), servicesOf(from)]
  const nothing: LineService = { quantity: 0, serveOn: null }
  return [...new Set([...before.keys(), ...now.keys()])].sort().flatMap((orderLineId) => {
    const [was, is] = [before.get(orderLineId) ?? nothing, now.get(orderLineId) ?? nothing]
    const same = was.quantity === is.quantity && was.serveOn === is.serveOn
    return same ? [] : [{ orderLineId, before: was, after: is }]
  })
}

function servicesOf(deliveries: Deliveries): Map<string, LineService> {
  return new Map([...deliveredByLine(deliveries)].map(([id, { quantity, last }]) => [id, { quantity, serveOn: last }]))
}
