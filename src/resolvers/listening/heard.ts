// What a listener has yet to hear: values that come by themselves, taken in turn.

const OVER: IteratorReturnResult<undefined> = { done: true, value: undefined }

/** Values for one listener. What is added while no one asks waits; the one that adds bounds how much (`waiting`). */
export class Heard<Value> implements AsyncIterableIterator<Value> {
  readonly #values: Value[] = []
  readonly #onEnd: () => void
  #end: IteratorReturnResult<undefined> | { error: unknown } | undefined
  #wake: (() => void) | undefined

  /** `onEnd` is called once, when nothing more is added or the listener goes away. */
  constructor(onEnd: () => void) {
    this.#onEnd = onEnd
  }

  /** Values that were not asked for yet. */
  get waiting(): number {
    return this.#values.length
  }

  add(...values: readonly Value[]): void {
    if (this.#end) return
    this.#values.push(...values)
    this.#wake?.()
  }

  /** A value in place of those that were not asked for yet. */
  latest(value: Value): void {
    this.#values.length = 0
    this.add(value)
  }

  /** After what waits nothing more is heard. */
  end(): void {
    this.#close(OVER)
  }

  /** After what waits the listener gets an error. */
  fail(error: unknown): void {
    this.#close({ error })
  }

  async next(): Promise<IteratorResult<Value, undefined>> {
    for (;;) {
      const [value] = this.#values.splice(0, 1)
      if (value !== undefined) return { done: false, value }
      const end = this.#end
      if (end) {
        this.#end = OVER
        if ('error' in end) throw end.error
        return OVER
      }
      await new Promise<void>((resolve) => {
        this.#wake = resolve
      })
    }
  }

  async return(): Promise<IteratorReturnResult<undefined>> {
    this.#values.length = 0
    this.end()
    return OVER
  }

  [Symbol.asyncIterator](): this {
    return this
  }

  #close(end: IteratorReturnResult<undefined> | { error: unknown }): void {
    if (this.#end) return
    this.#end = end
    this.#wake?.()
    this.#onEnd()
  }
}
