// A change of the plan as it stands that can be taken back and made again, any number of times.

import type { Placement, Surplus } from '../model/batch.ts'
import { type Batch, byBirth } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { byDay } from '../opening/export.ts'

interface Move {
  make(): void
  takeBack(): void
}

/** Moves in order. Each is made when it is added. */
export class PlanEdit {
  readonly #state: State
  readonly #moves: Move[] = []
  /** Batches whose draws or neighbours it changed. */
  readonly touched = new Set<Batch>()

  constructor(state: State) {
    this.#state = state
    state.touched.clear()
  }

  /** Makes all moves again. */
  redo(): void {
    for (const move of this.#moves) move.make()
    this.settle()
  }

  /** Takes all moves back, last first. */
  undo(): void {
    for (const move of [...this.#moves].reverse()) move.takeBack()
    this.settle()
  }

  place(placement: Placement): void {
    const state = this.#state
    this.#add({ make: () => state.apply(placement), takeBack: () => state.remove(placement) })
  }

  lift(placement: Placement): void {
    const state = this.#state
    this.#add({ make: () => state.remove(placement), takeBack: () => state.apply(placement) })
  }

  stock(surplus: Surplus): void {
    const state = this.#state
    this.#add({ make: () => state.applySurplus(surplus, 1), takeBack: () => state.applySurplus(surplus, -1) })
  }

  unstock(surplus: Surplus): void {
    const state = this.#state
    this.#add({ make: () => state.applySurplus(surplus, -1), takeBack: () => state.applySurplus(surplus, 1) })
  }

  /** A line that is known already, such as one that comes back. */
  enter(line: LineModel): void {
    const state = this.#state
    this.#add({ make: () => enterAt(state, line, state.model.lines.length), takeBack: () => leave(state, line) })
  }

  /** The line must not be placed. */
  leave(line: LineModel): void {
    const state = this.#state
    const { index } = line
    this.#add({ make: () => leave(state, line), takeBack: () => enterAt(state, line, index) })
  }

  /** Sets or, without a value, deletes what a map has under a key. */
  put<Key, Value>(map: Map<Key, Value>, key: Key, value: Value | undefined): void {
    const before = map.get(key)
    const set = (to: Value | undefined) => (to === undefined ? map.delete(key) : map.set(key, to))
    this.#add({ make: () => set(value), takeBack: () => set(before) })
  }

  /** Anything else. */
  also(make: () => void, takeBack: () => void): void {
    this.#add({ make, takeBack })
  }

  /**
   * Brings lists into an order that does not depend on how they came about: among equals the planner takes the first.
   */
  settle(): void {
    const { touched, batches, model } = this.#state
    for (const batch of touched) {
      this.touched.add(batch)
      batch.runs.sort(byDay)
      batches[batch.beer * model.sites.length + batch.site].sort(byBirth)
    }
    touched.clear()
  }

  #add(move: Move): void {
    move.make()
    this.#moves.push(move)
  }
}

/** Puts a line into the model: the one that stands at its index moves to the end. */
function enterAt(state: State, line: LineModel, index: number): void {
  const { lines, indexOf } = state.model
  line.index = lines.length
  lines.push(line)
  indexOf.line.set(line.id, line.index)
  state.lineAdded(line)
  exchange(state, line.index, index)
}

/** Takes a line out of the model: the last one moves to its index. */
function leave(state: State, line: LineModel): void {
  const { lines, indexOf } = state.model
  exchange(state, line.index, lines.length - 1)
  state.lineRemoved(line)
  lines.pop()
  indexOf.line.delete(line.id)
}

function exchange({ model, placements }: State, a: number, b: number): void {
  if (a === b) return
  const { lines, indexOf } = model
  ;[lines[a], lines[b]] = [lines[b], lines[a]]
  ;[placements[a], placements[b]] = [placements[b], placements[a]]
  for (const index of [a, b]) {
    lines[index].index = index
    indexOf.line.set(lines[index].id, index)
  }
}
