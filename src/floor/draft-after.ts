// A draft after facts that it did not know: it loses, by quantity, what they carried out, though it may have decided that otherwise
// than the plan in force did.
import { dayNumber, type OrderLine, type Plan } from '../planner/documents/index.ts'
import { type CarriedOut, newlyDone, planAfter } from './carried-out.ts'
import type { Fact, FactData, FactOf } from './facts/fact.ts'

/** A fact, with the planned decision that it carries out. */
export interface CarryingFact {
  fact: Fact
  /** Of the plan that was in force. Absent: it was not planned. */
  decisionId?: string
  /** The fact in whose place it comes, where the draft knew that one. */
  before?: Fact
}

/** Days by which a draft may have moved a brew for it to be the same one. */
const MOST_DAYS_MOVED = 14

/**
 * The draft after facts, oldest first, as if it had been in force. Deliveries that lose what they were to take keep naming it, so that
 * opening the draft places their lines anew. `lines` says who comes first where less was filled than planned.
 */
export function draftAfter(draft: Plan, facts: readonly CarryingFact[], lines: readonly OrderLine[]): Plan {
  return facts.reduce((plan, carrying) => planAfter(plan, carriedOutIn(plan, carrying), lines), draft)
}

/** What of a plan a fact carried out. */
function carriedOutIn(plan: Plan, { fact, decisionId, before }: CarryingFact): CarriedOut[] {
  const done = carriedOutBy(fact, decisionId).flatMap((each): CarriedOut[] => {
    if (each.kind === 'FILL') return fillsOf(plan, each)
    if (each.kind === 'BREW' && fact.kind === 'BREWED') return [{ ...each, decisionId: brewOf(plan, fact, decisionId) }]
    return [each]
  })
  return before ? newlyDone(done, before) : done
}

/** What a fact carried out; `decisionId` is the planned decision, where there is one. */
function carriedOutBy(fact: Fact, decisionId: string | undefined): CarriedOut[] {
  switch (fact.kind) {
    case 'BREWED':
      return [{ kind: 'BREW', decisionId, batchId: fact.data.batchId }]
    case 'TRANSFERRED':
      return [{ kind: 'TRANSFER', decisionId, batchId: fact.data.batchId }]
    case 'PART_TRANSFERRED':
      return fact.data.emptied ? [allDumped(fact.data.batchId)] : []
    case 'BLENDED':
      return fact.data.parents.filter(({ emptied }) => emptied).map(({ batchId }) => allDumped(batchId))
    case 'FILLED':
      return [fillOf(fact, decisionId)]
    case 'DUMPED':
      return [{ kind: 'DUMP', batchId: fact.data.batchId, litres: (fact.data.ml ?? 0) / 1000, all: fact.data.all }]
    case 'DISPATCHED':
      return [{ kind: 'DISPATCH', orderLineId: fact.data.orderLineId, lots: fact.data.lots }]
    case 'NOT_DONE':
      return notDone(fact.data)
    default:
      return []
  }
}

/** What is left of an emptied batch is lost: nothing of it is to be dumped. */
function allDumped(batchId: string): CarriedOut {
  return { kind: 'DUMP', batchId, litres: 0, all: true }
}

type Fill = Extract<CarriedOut, { kind: 'FILL' }>

function fillOf({ day, data }: FactOf<'FILLED'>, decisionId: string | undefined): Fill {
  const { batchId, packId, lotId, quantity, more, emptied } = data
  return { kind: 'FILL', decisionId, batchId, packId, lotId, on: day, quantity, more, emptied }
}

function notDone({ decision, decisionId: id }: FactData<'NOT_DONE'>): CarriedOut[] {
  return decision === 'DELIVERY' ? [] : [{ kind: 'DROP', decision, id }]
}

/**
 * The brew of the plan that a fact carried out: the one that was planned so, else the nearest of the same beer, in the same vessel
 * first; undefined where the plan has none near.
 */
function brewOf({ brews }: Plan, { day, data }: FactOf<'BREWED'>, decisionId: string | undefined): string | undefined {
  if (brews.some(({ id }) => id === decisionId)) return decisionId
  const apart = (brew: Plan['brews'][number]) => Math.abs(dayNumber(brew.brewOn) - dayNumber(day))
  const elsewhere = (brew: Plan['brews'][number]) => Number(brew.vesselId !== data.vesselId)
  const like = brews.filter((brew) => brew.beerId === data.beerId && apart(brew) <= MOST_DAYS_MOVED)
  return like.sort((a, b) => elsewhere(a) - elsewhere(b) || apart(a) - apart(b))[0]?.id
}

/**
 * A fill as fills of the plan's runs, one after the other by quantity: of the run that was planned so, of the same day, and of later
 * ones of the batch and pack. What a run of a later day has beyond it is still to be filled.
 */
function fillsOf({ fillRuns }: Plan, fill: Fill): Fill[] {
  const rank = ({ id, on }: Plan['fillRuns'][number]) => (id === fill.decisionId ? 0 : on === fill.on ? 1 : 2)
  const runs = fillRuns
    .filter(({ id, batchId, packId }) => id === fill.decisionId || (batchId === fill.batchId && packId === fill.packId))
    .sort((a, b) => rank(a) - rank(b) || (a.on < b.on ? -1 : 1))
  let left = fill.quantity
  const fills = runs.flatMap((run): Fill[] => {
    const quantity = Math.min(left, run.quantity)
    if (quantity === 0) return []
    left -= quantity
    return [{ ...fill, decisionId: run.id, quantity, more: fill.more || run.on > fill.on }]
  })
  return fills.length > 0 ? fills : [fill]
}
