// What the rest of a process sees of its jobs.

export interface Jobs {
  /** Begins what is due, as far as there are places. Call it after the commit of a transaction that enqueued something. */
  wake(): void
  /** Stops at once whatever has lost its lease, such as a job that was cancelled. */
  checkLeases(): void
  /** Does work beside the requests that is no job: it is lost when the process ends. `onFault` gets what it throws. */
  beside(work: () => Promise<void>, onFault: (error: unknown) => void): void
  /** Waits until nothing runs in this process, and nothing is due that it could begin. */
  settled(): Promise<void>
  /** Gives back what runs, so that another process begins it, and takes nothing more. */
  stop(): Promise<void>
}
