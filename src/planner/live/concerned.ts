// What the changes of records and of a plan concern in the state in which it is open: batches, lines, and the part of the plan that
// is to be put into the state again.
import { byId, deltaBetween, type ListDelta, listDelta } from '../documents/plan-delta.ts'
import type { Plan, Problem } from '../documents/problem.ts'
import type { Batch, Placement } from '../model/batch.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'

/** Records and the plan in force for them. */
export interface Planned {
  problem: Problem
  plan: Plan
}

export interface Concerned {
  /** Batches that are other than they were or share a vessel with such: all that is drawn from them is lifted. */
  batches: ReadonlySet<Batch>
  /** Those of them that stand no more, or otherwise. */
  gone: ReadonlySet<Batch>
  /** The ids of the batches that come in their place, or are new. */
  come: ReadonlySet<string>
  /** Lines of the state that are lifted. */
  lines: ReadonlySet<LineModel>
  /** The ids of lines that are wanted or delivered otherwise. */
  otherLines: ReadonlySet<string>
  /** The part of the plan that is about the batches, without deliveries. */
  held: Plan
  /** The part of the plan that is to be loaded: the same, the deliveries of the lines, and what else these take from. */
  part: Plan
  /** By run, of batches that keep what else is drawn from them: the containers that the lines take. */
  taken: ReadonlyMap<string, number>
}

/** What is concerned where records and plan, open in the state as `before`, are `after`. */
export function concernedBy(state: State, before: Planned, after: Planned): Concerned {
  const other = otherThings(before, after)
  const batches = concernedBatches(state, other)
  const lines = concernedLines(state, other, batches)
  const ids = new Set([...[...lines].map(({ id }) => id), ...other.lines])
  const batchIds = new Set([...other.decided, ...other.batches])
  for (const batch of batches) {
    const { id } = state.identity(batch)
    if (id !== undefined) batchIds.add(id)
  }
  const { plan } = after
  const deliveries = plan.deliveries.filter(({ orderLineId }) => ids.has(orderLineId))
  const taken = new Map<string, number>()
  for (const { fillRunId, quantity } of deliveries.flatMap(({ from }) => from))
    if (fillRunId !== undefined) taken.set(fillRunId, (taken.get(fillRunId) ?? 0) + quantity)
  const beside = new Set<string>()
  for (const { id, batchId } of plan.fillRuns)
    if (batchIds.has(batchId)) taken.delete(id)
    else if (taken.has(id)) beside.add(batchId)
  const ofBatches = (wanted: (id: string) => boolean) => ({
    brews: plan.brews.filter(({ id }) => wanted(id)),
    transfers: plan.transfers.filter(({ batchId }) => wanted(batchId)),
  })
  const fillRuns = plan.fillRuns.filter(({ batchId }) => batchIds.has(batchId))
  const others = plan.fillRuns.flatMap((run) => {
    const quantity = taken.get(run.id)
    return quantity === undefined ? [] : [{ ...run, quantity }]
  })
  const held = { ...plan, ...ofBatches((id) => batchIds.has(id)), fillRuns, deliveries: [] }
  return {
    ...{ batches, lines, held, taken, otherLines: other.lines, come: other.batches },
    gone: new Set(
      [...batches].filter((each) => each.standing >= 0 && other.batches.has(state.identity(each).id ?? '')),
    ),
    part: {
      ...held,
      ...ofBatches((id) => batchIds.has(id) || beside.has(id)),
      fillRuns: [...fillRuns, ...others],
      deliveries,
    },
  }
}

/** Ids of things that are other than they were, new or gone. */
interface OtherThings {
  batches: ReadonlySet<string>
  /** Batches and brews of which the plan decides otherwise. */
  decided: ReadonlySet<string>
  lots: ReadonlySet<string>
  lines: ReadonlySet<string>
  accounts: ReadonlySet<string>
  vessels: ReadonlySet<string>
}

function otherThings(before: Planned, after: Planned): OtherThings {
  const [was, is] = [before.problem, after.problem]
  const delta = deltaBetween(before.plan, after.plan)
  const decisions = [...before.plan.transfers, ...before.plan.fillRuns]
  const otherDecisions = new Set([...namesOf(delta.transfers, byId), ...namesOf(delta.fillRuns, byId)])
  const batches = namesOf(listDelta(was.batches, is.batches, byId), byId)
  const ofBatches = [...was.batches, ...is.batches].filter(({ id }) => batches.has(id)).map(({ vesselId }) => vesselId)
  return {
    batches,
    decided: new Set([
      ...namesOf(delta.brews, byId),
      ...decisions.filter(({ id }) => otherDecisions.has(id)).map(({ batchId }) => batchId),
      ...[...delta.transfers.put, ...delta.fillRuns.put].map(({ batchId }) => batchId),
    ]),
    lots: namesOf(listDelta(was.stock, is.stock, byId), byId),
    lines: new Set([
      ...namesOf(listDelta(was.orderLines, is.orderLines, byId), byId),
      ...namesOf(delta.deliveries, ({ orderLineId }) => orderLineId),
    ]),
    accounts: namesOf(listDelta(was.accounts, is.accounts, byId), byId),
    vessels: new Set([...namesOf(listDelta(was.vessels, is.vessels, byId), byId), ...ofBatches]),
  }
}

function namesOf<Element>({ gone, put }: ListDelta<Element>, nameOf: (element: Element) => string): Set<string> {
  return new Set([...gone, ...put.map(nameOf)])
}

function concernedBatches(state: State, { batches, decided, vessels }: OtherThings): Set<Batch> {
  const { indexOf } = state.model
  const concerned = new Set<Batch>()
  for (const batch of state.batches.flat()) {
    const { id = '' } = state.identity(batch)
    if (batches.has(id) || decided.has(id)) concerned.add(batch)
  }
  // What stands in a vessel says what may come into it.
  for (const id of vessels) {
    const vessel = indexOf.vessel.get(id)
    if (vessel !== undefined) for (const { batch } of element(state.stays, vessel)) concerned.add(batch)
  }
  return concerned
}

function concernedLines(state: State, other: OtherThings, batches: ReadonlySet<Batch>): Set<LineModel> {
  const { accounts, indexOf, lines: all } = state.model
  const lines = new Set<LineModel>()
  for (const batch of batches) for (const { line } of batch.users) lines.add(line)
  for (const id of other.lines) {
    const index = indexOf.line.get(id)
    if (index !== undefined) lines.add(element(all, index))
  }
  const lots = new Set([...other.lots].flatMap((id) => indexOf.lot.get(id) ?? []))
  const takes = ({ deliveries }: Placement) => deliveries.some((each) => each.lots.some(({ lot }) => lots.has(lot)))
  if (lots.size > 0) for (const each of state.placements) if (each && takes(each)) lines.add(each.line)
  const isOther = accounts.map(({ id }) => other.accounts.has(id))
  if (other.accounts.size > 0) for (const line of all) if (isOther[line.account]) lines.add(line)
  return lines
}
