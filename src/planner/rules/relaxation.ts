// What a relaxation of a rule is: a limit that can be lifted to find out whether it binds a line, and put back.
import type { Reason } from '../documents/reason.ts'
import type { RuleNumber } from '../documents/rule-numbers.ts'
import type { Batch } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'

export interface Relaxation {
  rule: RuleNumber
  /** Could the limit be in the way of the line at all? Where not, lifting it would change nothing. */
  matters: (state: State, line: LineModel) => boolean
  /** Lifts the limit for the line's beer, sites and account; answers how to put it back. */
  lift: (state: State, line: LineModel) => () => void
  reason: (state: State, line: LineModel) => Reason
}

/** Sites whose routes reach the line's account. */
export function sitesOf(state: State, line: LineModel): number[] {
  const { model } = state
  return [...new Set(model.accounts[line.account].routes.map((route) => model.routes[route].site))]
}

/** Batches of the line's beer at its sites. */
export function batchesOf(state: State, line: LineModel): Batch[] {
  return sitesOf(state, line).flatMap((site) => state.batches[line.beer * state.model.sites.length + site])
}

/** The first of the largest of some vessels, where need be only of those that a beer may use; undefined where there is none. */
export function largestOf({ model }: State, vessels: readonly number[], allowed?: Uint8Array): number | undefined {
  let largest: number | undefined
  for (const vessel of vessels) {
    if (allowed && !allowed[vessel]) continue
    if (largest === undefined || model.vessels[vessel].capacity > model.vessels[largest].capacity) largest = vessel
  }
  return largest
}

/** Does something hold on every one of the first so many days of the horizon? */
export function isAlways(days: number, holds: (day: number) => boolean): boolean {
  for (let day = 0; day < days; day++) if (!holds(day)) return false
  return true
}

/** Replaces a property of an object until the answer is called. */
export function swap<T, K extends keyof T>(object: T, key: K, value: T[K]): () => void {
  const before = object[key]
  object[key] = value
  return () => {
    object[key] = before
  }
}

/** Takes several changes back, the last first. */
export function all(undos: (() => void)[]): () => void {
  return () => {
    for (const undo of undos.reverse()) undo()
  }
}
