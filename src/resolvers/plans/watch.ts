// Progress as it comes, from the row in which it is noted, whatever server is solving.
import { setTimeout as wait } from 'node:timers/promises'

/** Milliseconds between two looks at the row. */
const BETWEEN_LOOKS = 250

/**
 * What `look` sees, each time that it has changed, until it is `done`; the last sight too. Ends as well where there is nothing
 * to see any more, and when the listener goes away.
 */
export async function* watch<Sight>(
  look: () => Promise<{ sight: Sight | null; done: boolean } | null>,
): AsyncGenerator<Sight> {
  let before = ''
  for (;;) {
    const seen = await look()
    if (!seen) return
    const text = JSON.stringify(seen.sight)
    if (seen.sight !== null && text !== before) yield seen.sight
    before = text
    if (seen.done) return
    await wait(BETWEEN_LOOKS)
  }
}
