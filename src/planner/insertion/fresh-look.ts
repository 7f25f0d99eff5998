// What is left of sources in a plan as it stands, after earlier takes of the same line: each is sought at most once for as long as the
// plan stays the same, however many dispatch options are tried.
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { InsertionPolicy } from './policy.ts'
import type { LineSource } from './source.ts'
import { collectAgain } from './sources.ts'

/** A look at one plan for one line of which `missing` containers are sought; it is over once something is taken. */
export class FreshLook {
  readonly #state: State
  readonly #line: LineModel
  readonly #missing: number
  readonly #policy: InsertionPolicy
  /** The sources as they are found again; undefined for those that are gone. */
  readonly #found = new Map<LineSource, LineSource | undefined>()

  constructor(state: State, line: LineModel, missing: number, policy: InsertionPolicy) {
    this.#state = state
    this.#line = line
    this.#missing = missing
    this.#policy = policy
  }

  /** A source of the site of a dispatch option, not a stock lot, as it is now; undefined where it gives nothing any more. */
  again(source: LineSource, at: number): LineSource | undefined {
    if (!this.#found.has(source)) {
      const { site } = this.#state.model.routes[this.#line.options[at]]
      const { batch, day } = source
      const sources = collectAgain(this.#state, this.#line, this.#missing, site, day, batch, this.#policy)
      this.#found.set(
        source,
        sources.find((each) => sameSource(each, source)),
      )
    }
    return this.#found.get(source)
  }

  /** Was the source sought before, and is it gone? */
  isEmpty(source: LineSource): boolean {
    return this.#found.has(source) && this.#found.get(source) === undefined
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
