// What the facts of a batch make of it: where it is, when it may be filled, whether it is kept back.
import type { LocalDate } from '../../planner/documents/index.ts'
import { byOrder } from '../ledger/entry.ts'
import type { Fact } from './fact.ts'
import { rankOf } from './postings.ts'

/** A batch as it was when the records began to follow it, or when it was brewed. */
export interface BatchStart {
  id: string
  vesselId: string
  /** When its crash was expected to end, in RFC 3339. */
  readyAt: string
  transferredOn?: LocalDate
  openedOn?: LocalDate
  /** Set where its vessel was emptied. */
  emptiedOn?: LocalDate
  primable: boolean
  quarantined: boolean
}

/** A batch as its facts have left it. */
export interface BatchState extends BatchStart {
  /** Whether gravities prove that it has fermented. */
  proven: boolean
  /** Whether a person has said that it is ready. */
  isReady: boolean
  /** Vessels that it has left, with the day on which each was emptied. */
  left: { vesselId: string; on: LocalDate }[]
}

/** How a beer proves that it has fermented, and what follows then. */
export interface Readiness {
  /** Specific gravity at which fermentation is expected to end; undefined: readings move nothing. */
  finalGravity?: number
  /** How far above it counts as ended: 0.002 unless the beer says otherwise (from memory). */
  above: number
  /** Within which two gravities count as equal: 0.0005 unless the beer says otherwise (from memory). */
  equalWithin: number
  /** Hours of rest, dry hopping and crash after fermentation. */
  hoursAfterFermentation: number
}

const HOUR = 3_600_000
/** A reading above the limit moves the expected end of fermentation to so many hours after it. */
const HOURS_AFTER_A_HIGH_READING = 24

/** The batch after its facts, in any order of recording. `instantOf` says when a fact happened. */
export function batchState(
  start: BatchStart,
  facts: readonly Fact[],
  readiness: Readiness,
  instantOf: (fact: Fact) => Date,
): BatchState {
  const proven = isFermentationProven(facts, readiness, instantOf)
  const state: BatchState = { ...start, proven, isReady: false, left: [] }
  for (const fact of inOrder(facts)) apply(state, fact, readiness, instantOf)
  // What a person says of readiness proves nothing for priming: a primed cask of beer that still ferments can burst.
  const isUnproven = state.isReady && readiness.finalGravity !== undefined && !proven
  return isUnproven ? { ...state, primable: false } : state
}

/** Facts in the order of what happened. */
export function inOrder(facts: readonly Fact[]): Fact[] {
  const at = (fact: Fact) => ({ day: fact.day, rank: rankOf(fact), recorded: fact.recorded })
  return [...facts].sort((a, b) => byOrder(at(a), at(b)))
}

function apply(state: BatchState, fact: Fact, readiness: Readiness, instantOf: (fact: Fact) => Date): void {
  const { day } = fact
  switch (fact.kind) {
    case 'READING':
      // What a person has said outranks what is read.
      if (!state.isReady && isHigh(fact.data.gravity, readiness)) {
        const end = instantOf(fact).getTime() + (HOURS_AFTER_A_HIGH_READING + readiness.hoursAfterFermentation) * HOUR
        if (end > new Date(state.readyAt).getTime()) state.readyAt = new Date(end).toISOString()
      }
      break
    case 'READY':
      state.readyAt = instantOf(fact).toISOString()
      state.isReady = true
      break
    case 'TRANSFERRED':
      leave(state, day)
      state.vesselId = fact.data.toVesselId
      state.transferredOn = day
      state.openedOn = undefined
      break
    case 'MOVED':
      leave(state, day)
      state.vesselId = fact.data.toVesselId
      state.openedOn = undefined
      break
    case 'FILLED':
      state.openedOn ??= day
      if (fact.data.emptied) empty(state, day)
      break
    case 'DUMPED':
      if (fact.data.all) empty(state, day)
      break
    case 'PART_TRANSFERRED':
      if (fact.data.batchId === state.id && fact.data.emptied) empty(state, day)
      break
    case 'BLENDED':
      if (fact.data.parents.some(({ batchId, emptied }) => batchId === state.id && emptied)) empty(state, day)
      break
    case 'QUARANTINED':
      state.quarantined = true
      break
    case 'RELEASED':
      state.quarantined = false
      break
  }
}

/** The vessel is empty from the day on; the beer is in another one, or gone. */
function leave(state: BatchState, on: LocalDate): void {
  state.left.push({ vesselId: state.vesselId, on })
}

function empty(state: BatchState, on: LocalDate): void {
  state.emptiedOn = on
  leave(state, on)
}

function isHigh(gravity: number | undefined, { finalGravity, above }: Readiness): boolean {
  return gravity !== undefined && finalGravity !== undefined && gravity > finalGravity + above
}

/** Two equal gravities at least so many hours apart prove that fermentation has ended (common practice). */
const HOURS_BETWEEN_PROOFS = 24

/**
 * Whether two readings prove that fermentation has ended: equal, a day apart, near the expected final gravity, after dry
 * hopping and before the crash. What a person says of readiness proves nothing.
 */
export function isFermentationProven(
  facts: readonly Fact[],
  { finalGravity, above, equalWithin }: Readiness,
  instantOf: (fact: Fact) => Date,
): boolean {
  if (finalGravity === undefined) return false
  const ordered = inOrder(facts)
  const last = (kind: Fact['kind']) =>
    Math.max(...ordered.filter((each) => each.kind === kind).map((each) => instantOf(each).getTime()))
  const [hopped, crashed] = [last('DRY_HOPPED'), last('CRASH_BEGUN')]
  const readings = ordered.flatMap((fact) => {
    if (fact.kind !== 'READING' || fact.data.gravity === undefined) return []
    const at = instantOf(fact).getTime()
    const counts = at >= hopped && (crashed === Number.NEGATIVE_INFINITY || at <= crashed)
    return counts && fact.data.gravity <= finalGravity + above ? [{ at, gravity: fact.data.gravity }] : []
  })
  return readings.some((a) =>
    readings.some((b) => b.at - a.at >= HOURS_BETWEEN_PROOFS * HOUR && Math.abs(a.gravity - b.gravity) <= equalWithin),
  )
}
