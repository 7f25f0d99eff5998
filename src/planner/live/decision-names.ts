// The names of a plan's decisions among those that the state knows: a line that is placed anew keeps the decisions that went with it.
import type { Plan } from '../documents/problem.ts'
import { element } from '../model/element.ts'
import type { State } from '../model/state.ts'
import { baselineKeys } from '../opening/standing.ts'
import type { PlanEdit } from './plan-edit.ts'
import { brewName } from './rebase.ts'

/** Decisions by what identifies them. */
export interface DecisionNames {
  runs: ReadonlyMap<string, string>
  transfers: ReadonlyMap<string, string>
  /** Index of the brew among those that the state knows, and its beer. */
  brews: ReadonlyMap<string, { index: number; beer: number }>
}

/** The names of the decisions of a plan; undefined where it has a brew that the state does not know. */
export function namesOfDecisions({ model, baseline }: State, plan: Plan): DecisionNames | undefined {
  const { runs, transfers, brews: found, brewIds, brewBeers } = baselineKeys(model, plan)
  const brews = new Map<string, { index: number; beer: number }>()
  for (const [key, at] of found) {
    const index = baseline.brews.get(key)
    if (index === undefined || baseline.brewIds[index] !== brewIds[at]) return undefined
    brews.set(key, { index, beer: element(brewBeers, at) })
  }
  return { runs, transfers, brews }
}

/** Lets the state know decisions by their names. */
export function knowDecisions({ baseline }: State, edit: PlanEdit, { runs, transfers, brews }: DecisionNames): void {
  for (const [key, id] of runs) if (baseline.runs.get(key) !== id) edit.put(baseline.runs, key, id)
  for (const [key, id] of transfers) if (baseline.transfers.get(key) !== id) edit.put(baseline.transfers, key, id)
  for (const [key, { index, beer }] of brews) {
    if (baseline.brews.get(key) !== index) edit.put(baseline.brews, key, index)
    if (baseline.brewBeers[index] !== beer) edit.swap(baseline.brewBeers, index, beer)
  }
}

/** Forgets those that the plan does not have in the end. */
export function forgetDecisions(state: State, edit: PlanEdit, names: DecisionNames, plan: Plan): void {
  const { baseline, claimed } = state
  const ids = new Set([...plan.transfers, ...plan.fillRuns].map(({ id }) => id))
  for (const list of ['runs', 'transfers'] as const)
    for (const [key, id] of names[list])
      if (!ids.has(id) && baseline[list].get(key) === id) edit.put(baseline[list], key, undefined)
  const there = new Set(state.batches.flat().map(brewName))
  for (const [key, { index }] of names.brews) {
    if (!there.has(key)) edit.put(baseline.brews, key, undefined)
    if (!claimed.has(index)) edit.swap(baseline.brewBeers, index, -1)
  }
}
