// Each request begins when it is the turn of its line: that of its distributor, or one for all that show no key that is known.
import { createHash } from 'node:crypto'
import type { Plugin } from 'graphql-yoga'
import { currentRequest } from '../operations/request-scope.ts'
import { threadTurns, workFor } from '../thread-turns.ts'

/** What runs the server asks whether it lives: its questions take next to nothing, and do not wait behind a flood without keys. */
const HEALTH = '/health/'

/** Most keys whose distributors are remembered. */
const MOST_KNOWN = 10_000

/**
 * Lets requests begin in turn, before anything of them is read. Goes after `observeRequests`, which knows whose key was good. A line is
 * no permission: a key that is not good any more still stands in the line of its distributor, and is refused there.
 */
export function takeTurns(): Plugin {
  const known = new Map<string, string>()
  return {
    instrumentation: {
      request: async ({ request }, answer) => {
        const key = shownBy(request.headers)
        const before = new URL(request.url).pathname.startsWith(HEALTH)
          ? 'health'
          : `of ${(key && known.get(key)) ?? 'strangers'}`
        // Its line is asked for within the work of others too.
        const scope = currentRequest()
        const asker = {
          get line() {
            const id = scope?.caller?.distributorId
            return id === undefined ? before : `of ${id}`
          },
        }
        await threadTurns.take(asker)
        await workFor(asker, answer)
        threadTurns.end(asker)
        if (key !== undefined && scope?.caller) remember(known, key, scope.caller.distributorId)
      },
    },
  }
}

function remember(known: Map<string, string>, key: string, distributorId: string): void {
  known.delete(key)
  known.set(key, distributorId)
  for (const oldest of known.keys()) {
    if (known.size <= MOST_KNOWN) return
    known.delete(oldest)
  }
}

/** A digest of what a request shows as its key, in whatever way; undefined where it shows none. */
function shownBy(headers: Headers): string | undefined {
  const shown = headers.get('authorization') ?? headers.get('x-api-key')
  return shown === null ? undefined : createHash('sha256').update(shown).digest('base64')
}
