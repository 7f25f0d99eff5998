// PGlite (PostgreSQL compiled to WebAssembly, in this process) as the stream that node-postgres otherwise opens to a server.
import { Duplex } from 'node:stream'
import { setImmediate as nextLook } from 'node:timers/promises'
import type { PGlite } from '@electric-sql/pglite'
import { Unseen } from '../thread-turns.ts'

/** The first byte of the message that ends a connection ("X", PostgreSQL's frontend protocol). */
const TERMINATE = 0x58

/** Milliseconds for which work on the database may keep the process from looking at what has come from outside. Between transactions the turns (thread-turns.ts) see to it. */
const UNSEEN = 20

/**
 * What node-postgres writes goes to the database as it is, the messages of a statement in one call, and what the database
 * answers comes back unread: the driver reads it, as it reads a server's. PGlite's own connection for the driver calls the
 * database for each message and reads each answer twice, and ends where a statement is refused while it is prepared.
 */
export class EmbeddedStream extends Duplex {
  readonly #database: PGlite
  readonly #unseen = new Unseen()

  constructor(database: PGlite) {
    super()
    this.#database = database
  }

  connect(): this {
    this.#begin().then(
      () => this.emit('connect'),
      (error: Error) => this.destroy(error),
    )
    return this
  }

  // What node-postgres sets on a socket.
  setNoDelay(): this {
    return this
  }

  setKeepAlive(): this {
    return this
  }

  ref(): this {
    return this
  }

  unref(): this {
    return this
  }

  override _read(): void {}

  /** Each chunk is a whole message. That the connection ends is not the database's business: others open one to it. */
  override _writev(chunks: { chunk: Buffer }[], done: (error?: Error) => void): void {
    const messages = chunks.map(({ chunk }) => chunk).filter(([first]) => first !== TERMINATE)
    this.#send(Buffer.concat(messages)).then(() => done(), done)
  }

  override _final(done: () => void): void {
    this.push(null)
    done()
  }

  /** A connection begins as on a server: without what another left open, prepared or set. */
  async #begin(): Promise<void> {
    await this.#database.waitReady
    if (this.#database.isInTransaction()) await this.#database.exec('ROLLBACK')
    await this.#database.exec('DISCARD ALL')
  }

  async #send(messages: Buffer): Promise<void> {
    if (messages.length === 0) return
    await this.#lookOutside()
    const answers: Buffer[] = []
    // A piece of an answer is valid until the call returns: the next one takes its place.
    await this.#database.execProtocolRawStream(messages, { onRawData: (piece) => answers.push(Buffer.from(piece)) })
    this.push(Buffer.concat(answers))
  }

  /**
   * Each answer is there at once, without any wait for the outside: work of a thousand statements, one after the other, would otherwise
   * keep the process from hearing of any other request until its end.
   */
  async #lookOutside(): Promise<void> {
    if (this.#unseen.lasts(performance.now()) >= UNSEEN) await nextLook()
  }
}
