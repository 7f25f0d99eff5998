// The plan as it stands becomes its own baseline: its brews, transfers and runs keep their ids from now on, and what was
// dropped on the way to it is no churn of it.
import { dayNumber } from '../calendar/days.ts'
import type { Plan } from '../documents/problem.ts'
import type { Batch } from '../model/batch.ts'
import { type Model, TERM } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { BatchPart, Naming } from '../opening/export.ts'
import type { PlanEdit } from './plan-edit.ts'

/** What the plan says of a batch now, and what it said; undefined where the batch is not in it. */
export interface PartChange {
  batch: Batch
  before: BatchPart | undefined
  after: BatchPart | undefined
}

/** Makes what the batches hold now the baseline, as part of an edit. */
export function rebase(state: State, edit: PlanEdit, changes: readonly PartChange[]): void {
  const { baseline, model, ledger } = state
  for (const { batch, before, after } of changes) {
    for (const run of before?.fillRuns ?? []) edit.put(baseline.runs, runName(model, run), undefined)
    if (before?.transfer) edit.put(baseline.transfers, transferName(model, before.transfer), undefined)
    if (before?.brew && !after?.brew) {
      edit.put(baseline.brews, brewName(batch), undefined)
      setBeer(state, edit, batch.baseline, -1)
    }
  }
  for (const { batch, before, after } of changes) {
    if (after?.brew && !before?.brew) nameBrew(state, edit, batch, after.id)
    for (const run of after?.fillRuns ?? []) edit.put(baseline.runs, runName(model, run), run.id)
    if (after?.transfer) edit.put(baseline.transfers, transferName(model, after.transfer), after.transfer.id)
  }
  edit.swap(ledger, TERM.churn, 0)
}

/** A brew that is new in the plan carries its id from now on. */
function nameBrew(state: State, edit: PlanEdit, batch: Batch, id: string): void {
  const { baseline, claimed } = state
  const was = batch.baseline
  if (was >= 0) setBeer(state, edit, was, batch.beer)
  else
    edit.also(
      () => {
        batch.baseline = baseline.brewIds.length
        baseline.brewIds.push(id)
        baseline.brewBeers.push(batch.beer)
        claimed.add(batch.baseline)
      },
      () => {
        claimed.delete(batch.baseline)
        baseline.brewIds.pop()
        baseline.brewBeers.pop()
        batch.baseline = was
      },
    )
  edit.put(baseline.brews, brewName(batch), batch.baseline)
}

/** The beer for which a brew of the baseline can be carried on; −1 for none. */
function setBeer({ baseline }: State, edit: PlanEdit, index: number, beer: number): void {
  edit.swap(baseline.brewBeers, index, beer)
}

/** What identifies a brew among those of the baseline. */
export function brewName({ beer, fermenter, brewOn }: Batch): string {
  return `${beer}:${fermenter}:${brewOn}`
}

function runName({ indexOf, today }: Model, run: Plan['fillRuns'][number]): string {
  return `${run.batchId}|${indexOf.filler.get(run.fillerId)}|${indexOf.pack.get(run.packId)}|${dayNumber(run.on) - today}`
}

function transferName({ indexOf, today }: Model, { batchId, toVesselId, on }: Plan['transfers'][number]): string {
  return `${batchId}|${indexOf.vessel.get(toVesselId)}|${dayNumber(on) - today}`
}

const KINDS = ['brew', 'transfer', 'run'] as const
type Kind = (typeof KINDS)[number]

/** Ids for what the search decides: the baseline's where a decision is the same, else one that nothing has or had. */
export class LiveNames implements Naming {
  readonly #state: State
  readonly #next: Record<Kind, number> = { brew: 1, transfer: 1, run: 1 }
  #given = new Map<string | Batch, string>()

  /** `taken` are ids in use. */
  constructor(state: State, taken: Iterable<string>) {
    this.#state = state
    for (const id of taken)
      for (const kind of KINDS) {
        const number = id.startsWith(`${kind}-`) ? Number(id.slice(kind.length + 1)) : Number.NaN
        if (Number.isSafeInteger(number) && number >= this.#next[kind]) this.#next[kind] = number + 1
      }
  }

  batch(batch: Batch): string {
    return this.#state.identity(batch).id ?? this.#fresh('brew', batch)
  }

  transfer(batchId: string, batch: Batch): string {
    const key = `${batchId}|${batch.bright}|${batch.transferOn}`
    return this.#state.baseline.transfers.get(key) ?? this.#fresh('transfer', `to ${key}`)
  }

  run(batchId: string, filler: number, pack: number, day: number): string {
    const key = `${batchId}|${filler}|${pack}|${day}`
    return this.#state.baseline.runs.get(key) ?? this.#fresh('run', `run ${key}`)
  }

  /** What was named is in the baseline now, or given up. */
  forget(): void {
    this.#given = new Map()
  }

  #fresh(kind: Kind, key: string | Batch): string {
    const known = this.#given.get(key)
    if (known !== undefined) return known
    const id = `${kind}-${this.#next[kind]++}`
    this.#given.set(key, id)
    return id
  }
}
