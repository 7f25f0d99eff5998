// What sources can give in a plan as it stands, after earlier takes of the same line: each is asked at most once for as long as the plan
// stays the same, however many dispatch options are tried.
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { optionRoom } from './option.ts'
import type { LineSource } from './source.ts'
import { collectAgain } from './sources.ts'

/** A look at one plan for one line of which `missing` containers are sought; it is over once something is taken. */
export class FreshLook {
  readonly #state: State
  readonly #line: LineModel
  readonly #missing: number
  readonly #justCollected: boolean
  /** The sources as they are found again; undefined for those that are gone. */
  readonly #again = new Map<LineSource, LineSource | undefined>()

  /** `justCollected`: the sources were collected from this very plan, so draws from its batches are what they were found to be. */
  constructor(state: State, line: LineModel, missing: number, justCollected: boolean) {
    this.#state = state
    this.#line = line
    this.#missing = missing
    this.#justCollected = justCollected
  }

  /** Containers that a source gives at most with a dispatch option of its site. */
  most(source: LineSource, at: number): number {
    const state = this.#state
    if (source.lot >= 0) return Math.min(state.lotLeft[source.lot], optionRoom(state, this.#line, source, at))
    const again = this.#justCollected ? source : this.#found(source, at)
    return again ? Math.min(again.most, optionRoom(state, this.#line, again, at)) : 0
  }

  /** Was the source asked before, and had nothing left to give with any option? */
  isEmpty(source: LineSource): boolean {
    return this.#again.has(source) && this.#again.get(source) === undefined
  }

  #found(source: LineSource, at: number): LineSource | undefined {
    if (!this.#again.has(source)) {
      const { site } = this.#state.model.routes[this.#line.options[at]]
      const found = collectAgain(this.#state, this.#line, this.#missing, site, source.day, source.batch)
      this.#again.set(
        source,
        found.find((each) => sameSource(each, source)),
      )
    }
    return this.#again.get(source)
  }
}

/** Are two sources the same containers or the same draw, found at different times? */
export function sameSource(a: LineSource, b: LineSource): boolean {
  if (a.lot !== b.lot || a.day !== b.day || a.filler !== b.filler || a.surplus !== b.surplus) return false
  if (a.batch !== b.batch) return false
  if (a.transfer && b.transfer && (a.transfer.on !== b.transfer.on || a.transfer.bright !== b.transfer.bright))
    return false
  return a.brew?.vessel === b.brew?.vessel && a.brew?.brewOn === b.brew?.brewOn
}
