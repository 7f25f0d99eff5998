// PGlite behind node-postgres, so that the embedded database and a server are driven by one and the same adapter.
import { PGlite } from '@electric-sql/pglite'
import pg from 'pg'
import { nextTurn, threadTurns } from '../thread-turns.ts'
import { EmbeddedStream } from './embedded-stream.ts'

/**
 * A pool of the one connection that an embedded database has. Its holder blocks everyone else: inside a
 * transaction only the transaction's client may be used. Closing the pool leaves `database` open.
 */
export function embeddedPool(database: PGlite): pg.Pool {
  const stream = () => new EmbeddedStream(database)
  return new PoolInTurns({ stream, user: 'postgres', database: 'postgres', max: 1, idleTimeoutMillis: 0 })
}

/** An embedded database in memory, for tools. */
export function memoryDatabase(): Promise<PGlite> {
  return PGlite.create()
}

type Connected = (
  error: Error | undefined,
  client: pg.PoolClient | undefined,
  done: (release?: Error | boolean) => void,
) => void

/** Gives its one connection to the lines in turns. The pool itself would give it in the order in which it was asked for. */
class PoolInTurns extends pg.Pool {
  #isTaken = false

  constructor(options: pg.PoolConfig) {
    super(options)
    this.on('release', () => this.#giveBack())
  }

  override connect(): Promise<pg.PoolClient>
  override connect(callback: Connected): void
  override connect(callback?: Connected): Promise<pg.PoolClient> | undefined {
    const connected = this.#connectInTurn()
    if (!callback) return connected
    connected.then(
      (client) => callback(undefined, client, (release) => client.release(release)),
      (error: Error) => callback(error, undefined, () => undefined),
    )
  }

  async #connectInTurn(): Promise<pg.PoolClient> {
    // Two may have been let go on before either has taken it.
    do await nextTurn(() => !this.#isTaken)
    while (this.#isTaken)
    this.#isTaken = true
    try {
      return await super.connect()
    } catch (error) {
      this.#giveBack()
      throw error
    }
  }

  #giveBack(): void {
    this.#isTaken = false
    threadTurns.lookAgain()
  }
}
