// How the server ends: the first signal lets it finish what it began, a second one ends it at once.
import { setTimeout as wait } from 'node:timers/promises'

/** Milliseconds after which it ends whatever is not finished. */
const PATIENCE = 9500
/** Milliseconds within which two SIGINT are one: a terminal sends it to npm and to the server, and npm passes it on. */
const ONE_PRESS = 250

/** Calls `stop` on SIGINT or SIGTERM, and ends the process when that is done: with 0, or with 1 where it failed or took too long. */
export function stopOnSignals(stop: () => Promise<void>): void {
  let first: number | undefined
  const heard = (signal: NodeJS.Signals) => {
    const now = performance.now()
    if (first === undefined) {
      first = now
      void end(stop)
    } else if (signal !== 'SIGINT' || now - first > ONE_PRESS) process.exit(1)
  }
  process.on('SIGINT', heard)
  process.on('SIGTERM', heard)
}

async function end(stop: () => Promise<void>): Promise<void> {
  try {
    const done = await Promise.race([stop().then(() => true), wait(PATIENCE, false)])
    if (!done) console.error(`Not all was finished within ${PATIENCE / 1000} s.`)
    process.exit(done ? 0 : 1)
  } catch (error) {
    console.error(error)
    process.exit(1)
  }
}
