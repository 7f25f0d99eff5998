// Streams that are open: so many for a key, each until its key is revoked.
import type { PrismaClient } from '../../database/client.ts'
import { Busy, Unauthenticated } from '../../errors.ts'
import { joinPulse } from './pulse.ts'

/** Most streams of one key at a time in a process, where nothing else is set. */
export const STREAMS_PER_KEY = 5

/** Seconds after which a stream may have ended. */
const RETRY_AFTER = 5

export interface Stream {
  /** Aborted when the key is no longer good (its reason is the refusal), or whether it is cannot be seen. */
  ended: AbortSignal
  /** Makes room for another one. */
  close: () => void
}

export class Streams {
  readonly #client: PrismaClient
  readonly #mostOfKey: number
  readonly #open = new Map<string, number>()

  constructor(client: PrismaClient, mostOfKey = STREAMS_PER_KEY) {
    this.#client = client
    this.#mostOfKey = mostOfKey
  }

  /** Opens a stream of a key. Throws `Busy` where it has as many as it may. */
  open({ distributorId, keyId }: { distributorId: string; keyId: string }): Stream {
    const key = JSON.stringify([distributorId, keyId])
    const open = this.#open.get(key) ?? 0
    if (open >= this.#mostOfKey) throw new Busy(RETRY_AFTER, 'TOO_MANY_STREAMS')
    this.#open.set(key, open + 1)
    const ended = new AbortController()
    const leave = joinPulse(this.#client, distributorId, {
      wanted: { keyId },
      hear: ({ goodKeys }) => {
        if (!goodKeys.includes(keyId)) ended.abort(new Unauthenticated('STREAM_KEY_ENDED'))
      },
      // What is listened to fails by the same look: it says why, and then it is over.
      fail: () => setImmediate(() => ended.abort()),
    })
    let isClosed = false
    const close = () => {
      if (isClosed) return
      isClosed = true
      leave()
      const left = (this.#open.get(key) ?? 1) - 1
      if (left > 0) this.#open.set(key, left)
      else this.#open.delete(key)
    }
    return { ended: ended.signal, close }
  }
}
