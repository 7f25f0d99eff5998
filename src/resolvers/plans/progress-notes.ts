// Notes of progress in a row: one at a time, and not too often.

/** Milliseconds between two notes. */
const BETWEEN_NOTES = 500

export class ProgressNotes<Progress> {
  readonly #write: (progress: Progress) => Promise<unknown>
  readonly #onFault: (error: unknown) => void
  #writing: Promise<void> | undefined
  #writtenAt = Number.NEGATIVE_INFINITY

  /** `write` puts progress into the row; one that fails is lost, which costs nothing. */
  constructor(write: (progress: Progress) => Promise<unknown>, onFault: (error: unknown) => void) {
    this.#write = write
    this.#onFault = onFault
  }

  /** Notes progress, unless a note is being written or was written a moment ago. */
  take(progress: Progress): void {
    const now = performance.now()
    if (this.#writing || now - this.#writtenAt < BETWEEN_NOTES) return
    this.#writtenAt = now
    this.#writing = this.#write(progress)
      .then(() => undefined)
      .catch(this.#onFault)
      .finally(() => {
        this.#writing = undefined
      })
  }

  /** Waits for the note that is being written. */
  async done(): Promise<void> {
    await this.#writing
  }
}
