// Who does something, and with what: the first argument of every use-case.
import type { Clock } from '../clock.ts'
import type { PrismaClient } from '../database/client.ts'

export interface Actor {
  client: PrismaClient
  clock: Clock
  /** Whose records are read and written; no others. */
  distributorId: string
}
