// Who does something, and with what: the first argument of every use-case.
import type { Clock } from '../clock.ts'
import type { PrismaClient } from '../database/client.ts'
import type { OnceHandle } from '../database/once.ts'
import type { Snapshots } from '../records/snapshots.ts'
import type { MayRead } from './access/may-read.ts'

export interface Actor {
  client: PrismaClient
  clock: Clock
  /** Whose records are read and written; no others. */
  distributorId: string
  /** The id of the API key that it is done with. Absent: it is the program itself. */
  keyId?: string | undefined
  /** The request where it runs once under its caller's key. Absent: sent twice it runs twice. */
  once?: OnceHandle | undefined
  /** Which kinds of records refusals may tell of. Absent: all; it is the program itself. */
  mayRead?: MayRead
  /** The plan in force in memory. Absent: what a write does to promises is not noted. */
  snapshots?: Snapshots
  /** Hears of faults of ours after which the work goes on, with an id by which they can be found. */
  onFault?: (error: unknown, id: string) => void
}
