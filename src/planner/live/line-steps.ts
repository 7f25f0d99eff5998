// The steps by which lines leave a plan that is kept open and come into it; each is part of an edit that can be taken back.
import type { OrderLine, Problem } from '../documents/problem.ts'
import { explainer, PLAN_RELIEFS } from '../explanation/explain.ts'
import { enterLine, insertedSoonest, whileInserted } from '../insertion/joint-insertion.ts'
import type { Placement } from '../model/batch.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { Explain } from '../opening/export.ts'
import type { LiftedWish } from './give-way.ts'
import type { LiveState } from './live-state.ts'
import type { PlanEdit } from './plan-edit.ts'
import { restock, settleTransfers } from './stock.ts'
import { answerOf, type TrialAnswer } from './trial-answer.ts'
import type { TrialResult } from './trial-result.ts'

/** A line that comes: as it is placed, that is with the last day on which it may be served; and as it is wanted. */
export interface Coming {
  placed: OrderLine
  wanted: OrderLine
  /** The promise is made now: should the line be served sooner in the end, that day is promised. */
  promisedNow?: boolean
}

export const placedOf = (coming: readonly Coming[]) => coming.map(({ placed }) => placed)
export const wantedOf = (coming: readonly Coming[]) => coming.map(({ wanted }) => wanted)

/**
 * What comes, where a promise that is made now says the day on which the line is served. Where fewer wishes give way than were
 * lifted to find the days, other places are found, some of them sooner.
 */
export function promisedAsServed(coming: readonly Coming[], answers: readonly TrialAnswer[]): readonly Coming[] {
  return coming.map((each, index) => {
    const { promisedOn } = each.wanted
    const { served = 0, quantity, serveOn } = answers[index] ?? {}
    if (!each.promisedNow || served !== quantity || !serveOn || !promisedOn || serveOn >= promisedOn) return each
    return { ...each, wanted: { ...each.wanted, promisedOn: serveOn } }
  })
}

/** The order lines of wishes that were lifted. */
export function linesOf({ orderLines }: Problem, lifted: readonly LiftedWish[]): OrderLine[] {
  const ids = new Set(lifted.map(({ line }) => line.id))
  return ids.size === 0 ? [] : orderLines.filter(({ id }) => ids.has(id))
}

/** Takes lines out of the state, with transfers that only they needed. */
export function takeOut({ state, parts }: LiveState, edit: PlanEdit, without: ReadonlySet<string>): LineModel[] {
  const { lines, indexOf } = state.model
  const left = [...without].flatMap((id) => {
    const index = indexOf.line.get(id)
    return index === undefined ? [] : [element(lines, index)]
  })
  for (const line of left) {
    const placement = state.placements[line.index]
    if (placement) edit.lift(placement)
  }
  edit.settle()
  settleTransfers(state, edit, (batch) => parts.get(batch)?.transfer)
  for (const line of left) edit.leave(line)
  edit.settle()
  return left
}

/** Places lines, looks, and takes them out again. `how` explains those that are late or short; as plans do where it is absent. */
export function tryOut(state: State, edit: PlanEdit, lines: readonly OrderLine[], how?: Explain): TrialResult {
  try {
    return whileInserted(state, lines, (inserted) => {
      const explain = how ?? explainer(state, PLAN_RELIEFS)
      const answers = inserted.lines.map((line) => answerOf(state, line, explain))
      return { lines, answers, placements: new Map(inserted.placements.map((each) => [each.line.id, each])) }
    })
  } finally {
    edit.settle()
  }
}

/** How lines of the state are served. */
export function answersOf(state: State, lines: readonly { id: string }[]): TrialAnswer[] {
  const explain = explainer(state, PLAN_RELIEFS)
  const { model } = state
  return lines.flatMap(({ id }) => {
    const line = model.lines[model.indexOf.line.get(id) ?? -1]
    return line ? [answerOf(state, line, explain)] : []
  })
}

/** Puts lines in for good, as a plan that is opened from its document would have them: what they take is filled for them. */
export function putIn(
  state: State,
  edit: PlanEdit,
  coming: readonly Coming[],
  placements: ReadonlyMap<string, Placement>,
): LineModel[] {
  const came = coming.map(({ wanted }) => enterLine(edit, wanted))
  const byId = new Map(came.map((line) => [line.id, line]))
  for (const placement of placements.values()) {
    const line = byId.get(placement.line.id)
    if (line) edit.place(restock(state, edit, placement, line))
  }
  edit.settle()
  return came
}

/** Places wishes that gave way beside the lines that came, or leaves them unserved. Answers how they are served then. */
export function placeAgain(state: State, edit: PlanEdit, lifted: readonly LiftedWish[]): TrialAnswer[] {
  if (lifted.length === 0) return []
  const lines = lifted.map(({ line }) => line)
  const placements = insertedSoonest(state, lines)
  edit.settle()
  for (const placement of placements) edit.place(restock(state, edit, placement, placement.line))
  edit.settle()
  const explain = explainer(state, PLAN_RELIEFS)
  const answers = lines.map((line) => answerOf(state, line, explain))
  edit.settle()
  return answers
}
