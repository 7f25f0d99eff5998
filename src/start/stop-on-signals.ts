// How the server ends: the first signal lets it finish what it began, a second one ends it at once. So does a fault that nothing caught.
import { setTimeout as wait } from 'node:timers/promises'

/** Milliseconds after which it ends whatever is not finished. */
const PATIENCE = 9500
/** Milliseconds within which two SIGINT are one: a terminal sends it to npm and to the server, and npm passes it on. */
const ONE_PRESS = 250

/**
 * Calls `stop` on SIGINT or SIGTERM, and ends the process when that is done: with 0, or with 1 where it failed or took too long. A fault
 * that nothing caught is said by `onFault` and ends it so too, with 1: what is in memory may be wrong from then on, so that it must not
 * go on, but others' requests that were begun are answered.
 */
export function stopOnSignals(stop: () => Promise<void>, onFault: (error: unknown) => void): void {
  let first: number | undefined
  const heard = (signal: NodeJS.Signals) => {
    const now = performance.now()
    if (first === undefined) {
      first = now
      void end(stop, 0)
    } else if (signal !== 'SIGINT' || now - first > ONE_PRESS) process.exit(1)
  }
  process.on('SIGINT', heard)
  process.on('SIGTERM', heard)
  // A promise that is rejected and that nothing waits for comes here, too.
  process.on('uncaughtException', (error) => {
    onFault(error)
    if (first !== undefined) return
    first = performance.now()
    void end(stop, 1)
  })
}

/** `code` is what the process ends with where all goes well. */
async function end(stop: () => Promise<void>, code: number): Promise<void> {
  try {
    const done = await Promise.race([stop().then(() => true), wait(PATIENCE, false)])
    if (!done) console.error(`Not all was finished within ${PATIENCE / 1000} s.`)
    process.exit(done ? code : 1)
  } catch (error) {
    console.error(error)
    process.exit(1)
  }
}
