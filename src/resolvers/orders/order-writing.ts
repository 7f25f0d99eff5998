// What a change of orders works with while it is written under the lock, and what it answers.
import type { TransactionClient } from '../../database/client.ts'
import type { Locked, Log } from '../../database/distributor-lock.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import type { Reserved } from '../../records/reserved.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Changed } from './replan.ts'
import type { OrderReferences } from './wanted-lines.ts'

/** What the work of a change of orders is given. */
export interface OrderWriting {
  tx: TransactionClient
  log: Log
  atEnd: Locked['atEnd']
  /** The records under the lock; reservations that have run out are gone from them. */
  snapshot: Snapshot
  refs: OrderReferences
  /** The distributor's today. */
  today: LocalDate
  /** This instant, the same for all that is written. */
  now: Date
  /** The distributor's key for offer tokens. */
  offerKey: string
}

/** What was written. */
export interface LinesWritten {
  /** Whether an order came, with the next number. */
  placed?: boolean
  /** What became of the problem and the plan in force. Absent: neither changed. */
  changed?: Changed
  /** The reservations that hold now. Absent: those that held before. */
  reserved?: readonly Reserved[]
}
