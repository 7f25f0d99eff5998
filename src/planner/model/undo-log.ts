// The undo log: every change of a state goes through one, in order, so that it can be taken back, last first, and made again.
import type { Placement, Surplus } from './batch.ts'
import type { LineModel } from './model.ts'
import type { State } from './state.ts'

interface Change {
  make(): void
  takeBack(): void
}

/** A placement that comes or goes: most changes are of this kind, so they have a class instead of two closures each. */
class PlacementChange implements Change {
  readonly #state: State
  readonly #placement: Placement
  readonly #comes: boolean

  constructor(state: State, placement: Placement, comes: boolean) {
    this.#state = state
    this.#placement = placement
    this.#comes = comes
  }

  make(): void {
    if (this.#comes) this.#state.apply(this.#placement)
    else this.#state.remove(this.#placement)
  }

  takeBack(): void {
    if (this.#comes) this.#state.remove(this.#placement)
    else this.#state.apply(this.#placement)
  }
}

/** Changes of one state. Each is made when it is added. */
export class UndoLog {
  readonly state: State
  readonly #changes: Change[] = []
  /** So many of the changes stand; those after them are taken back. */
  #standing = 0

  constructor(state: State) {
    this.state = state
  }

  /** Puts a placement into the plan. Whether it may is the caller's business. */
  place(placement: Placement): void {
    this.#add(new PlacementChange(this.state, placement, true))
  }

  /** Takes a placement out of the plan. */
  lift(placement: Placement): void {
    this.#add(new PlacementChange(this.state, placement, false))
  }

  /** Fills containers to stock, or makes a transfer that only keeps beer. */
  stock(surplus: Surplus): void {
    const { state } = this
    this.also(
      () => state.applySurplus(surplus, 1),
      () => state.applySurplus(surplus, -1),
    )
  }

  /** Takes such a run or transfer out of the plan. */
  unstock(surplus: Surplus): void {
    const { state } = this
    this.also(
      () => state.applySurplus(surplus, -1),
      () => state.applySurplus(surplus, 1),
    )
  }

  /** Puts a compiled line at the end of the model's; it is not placed. */
  enter(line: LineModel): void {
    const { state } = this
    this.also(
      () => enterAt(state, line, state.model.lines.length),
      () => leave(state, line),
    )
  }

  /** Takes a line out of the model; it must not be placed. */
  leave(line: LineModel): void {
    const { state } = this
    const { index } = line
    this.also(
      () => leave(state, line),
      () => enterAt(state, line, index),
    )
  }

  /** Replaces a property of an object, or an element of a list. */
  swap<T extends object, K extends keyof T>(object: T, key: K, value: T[K]): void {
    const before = object[key]
    this.also(
      () => {
        object[key] = value
      },
      () => {
        object[key] = before
      },
    )
  }

  /** Sets or, without a value, deletes what a map has under a key. */
  put<Key, Value>(map: Map<Key, Value>, key: Key, value: Value | undefined): void {
    const before = map.get(key)
    this.also(
      () => setOrDelete(map, key, value),
      () => setOrDelete(map, key, before),
    )
  }

  /** Any other change; `takeBack` undoes exactly what `make` does. */
  also(make: () => void, takeBack: () => void): void {
    this.#add({ make, takeBack })
  }

  #add(change: Change): void {
    change.make()
    // What was taken back cannot be made again once something else follows.
    if (this.#changes.length > this.#standing) this.#changes.length = this.#standing
    this.#changes.push(change)
    this.#standing++
  }

  /** Where the log stands, for `undoTo`. */
  get mark(): number {
    return this.#standing
  }

  /** Takes back and forgets all changes since a mark. */
  undoTo(mark: number): void {
    this.#takeBackTo(mark)
    this.#changes.length = this.#standing
  }

  /** Takes all changes back; `redo` makes them again. */
  undo(): void {
    this.#takeBackTo(0)
  }

  /** Makes again what `undo` took back. */
  redo(): void {
    for (; this.#standing < this.#changes.length; this.#standing++) this.#changes[this.#standing].make()
  }

  #takeBackTo(mark: number): void {
    while (this.#standing > mark) this.#changes[--this.#standing].takeBack()
  }
}

function setOrDelete<Key, Value>(map: Map<Key, Value>, key: Key, value: Value | undefined): void {
  if (value === undefined) map.delete(key)
  else map.set(key, value)
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
