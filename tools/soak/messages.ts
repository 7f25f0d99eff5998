// What the server of a soak and the process that drives it say to each other.
import { z } from 'zod'

/** Where the server answers, and the breweries that it has with a key for everything in each. */
export const openedShape = z.object({
  address: z.string(),
  breweries: z.array(z.object({ id: z.string(), key: z.string() })),
})

export type Opened = z.output<typeof openedShape>

/** What is asked of the server by its parent. */
export type Asked =
  | { what: 'SET_CLOCK'; to: string }
  /** Begins what is due, and answers when nothing is under way. */
  | { what: 'SETTLE' }
  | { what: 'MEASURE' }
  /** The rows of change log and ledger of a brewery since a revision. */
  | { what: 'ROWS'; distributorId: string; after: number }

/** What a server has open, once its garbage is collected. */
export const measuredShape = z.object({
  /** Connections to the database that are in use although nothing is under way: as many idle in the pool as it had use for. */
  connections: z.int(),
  /** Connections of clients. */
  sockets: z.int(),
  /** Threads that plan. */
  threads: z.int(),
  /** Snapshots that are kept. */
  snapshots: z.int(),
  /** Plans that are open for trials anywhere on the heap. */
  openPlans: z.int(),
  /** Jobs that wait or run. */
  liveJobs: z.int(),
  /** Bytes. */
  heap: z.number(),
  /** Rows of all breweries. */
  logRows: z.int(),
  ledgerRows: z.int(),
  /** Faults of the server so far. */
  faults: z.array(z.string()),
})

export type Measured = z.output<typeof measuredShape>

/** What one revision has written: the kinds of its entries of the change log, and how many rows of the ledger. */
export const rowsShape = z.array(z.object({ revision: z.int(), kinds: z.array(z.string()), ledger: z.int() }))

export type RevisionRows = z.output<typeof rowsShape>[number]
