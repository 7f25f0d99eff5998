// Requests of which Node says that their time is over: late is one that has not come, not one that has come and waits to be read by a
// process that was busy.
import type { IncomingMessage } from 'node:http'
import type { Duplex } from 'node:stream'
import { refuseUnreadable } from './unreadable-requests.ts'

/** Milliseconds within which a process that was busy has read what had come before. */
const READING = 200

export class LateRequests {
  /** The last request of each connection. */
  readonly #last = new WeakMap<Duplex, IncomingMessage>()

  /** Hears of each request, when its headers have been read. */
  begun(request: IncomingMessage): void {
    this.#last.set(request.socket, request)
  }

  /** Refuses what Node found late on a connection, unless all of it can be read now. */
  judge(fault: NodeJS.ErrnoException, socket: Duplex): void {
    const known = this.#last.get(socket)
    const wasWhole = known?.complete === true
    // What has come is read between timers and immediates.
    const look = () => {
      const now = this.#last.get(socket)
      const hasCome = now?.complete === true && !(wasWhole && now === known)
      if (!hasCome) refuseUnreadable(fault, socket)
    }
    setTimeout(() => setImmediate(look), READING)
  }
}
