// What is wrong with a request, collected from every stage (its shape, what it names, names that are taken, the state of the
// records, values that depend on each other), so that one answer has all of it.
import { type Conflict, InvalidInput, type Issue, issue, type NotFound } from '../errors.ts'
import { isWithin, type ShapeFaults } from './read-input.ts'

export class Faults {
  readonly #issues: Issue[] = []
  readonly #refusals: { path: string; refusal: Conflict | NotFound }[] = []
  readonly #unread: string[] = []

  /** Takes over what is wrong with the shape of an input; what could not be read is not spoken of again. */
  take({ issues, unread }: ShapeFaults): void {
    this.#issues.push(...issues)
    this.#unread.push(...unread)
  }

  /** Whether nothing was noted so far. */
  get isClean(): boolean {
    return this.#issues.length + this.#refusals.length === 0
  }

  /** Notes what is wrong with an input. */
  note(...issues: Issue[]): void {
    this.#issues.push(...issues.filter(({ path }) => !isWithin(this.#unread, path)))
  }

  /** Notes what is wrong with a value only beside others, which stand at `paths`: if all of them could be read. */
  noteBeside(paths: readonly string[], fault: Issue): void {
    if (!paths.some((path) => isWithin(this.#unread, path))) this.note(fault)
  }

  /** Notes a refusal of another kind, which what stands at `path` meets with. */
  refuse(path: string, refusal: Conflict | NotFound | undefined): void {
    if (refusal && !isWithin(this.#unread, path)) this.#refusals.push({ path, refusal })
  }

  /** Notes a refusal behind which nothing further can be looked at, and throws what is known. */
  giveUp(path: string, refusal: Conflict | NotFound): never {
    this.refuse(path, refusal)
    this.settle()
    throw refusal
  }

  /**
   * Throws what was noted: one refusal of another kind as it is, else `InvalidInput` with everything, refusals too. Only
   * behind it an input may be used for more than finding faults.
   */
  settle(): void {
    const [one, another] = this.#refusals
    if (one && !another && this.#issues.length === 0) throw one.refusal
    const [first, ...others] = [
      ...this.#issues,
      ...this.#refusals.map(({ path, refusal: { code, message } }) => issue(path, code, message)),
    ]
    if (first) throw new InvalidInput([first, ...others])
  }
}
