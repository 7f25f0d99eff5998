// What a command is: a change of orders or reservations in stages. The executor runs the stages; a command never calls it back.
import type { Write } from '../../database/batched-statement.ts'
import type { TransactionClient } from '../../database/client.ts'
import type { Committed, Log } from '../../database/distributor-lock.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import type { Reserved } from '../../records/reserved.ts'
import type { Snapshot, Snapshots } from '../../records/snapshots.ts'
import type { Actor } from '../actor.ts'
import type { Changed } from '../orders/replan.ts'
import type { OrderReferences } from '../orders/wanted-lines.ts'

/** Who sends a command, with the plan in force at hand. */
export interface CommandActor extends Actor {
  snapshots: Snapshots
}

/** What `prepare` reads: the records as they are committed, which may change before `decide`. */
export interface ReadContext {
  client: TransactionClient
  snapshot: Snapshot
  refs: OrderReferences
  /** The distributor's today. */
  today: LocalDate
  now: Date
  /** The distributor's key for offer tokens. */
  offerKey: string
  /**
   * Says that what is prepared holds only while the change log names none of these ids anew. What is prepared depends on the
   * set-up and on today without saying so.
   */
  dependOn: (...ids: string[]) => void
}

/** What `decide` judges by: the records behind the lock. Reservations that have run out are gone from them. */
export interface Records {
  snapshot: Snapshot
  /** The distributor's today. */
  today: LocalDate
  /** This instant, the same for all that the command writes. */
  now: Date
}

/** One entry of the change log: kind, thing, the thing before and after. */
export type LogEntry = Parameters<Log>

/** What a command writes. */
export interface Decision<Answer> {
  /** What the caller gets once it is committed, or of a dry run. */
  answer: Answer
  /** Rows that it inserts or changes, each once. */
  writes: Write[]
  /** What the change log says of it. None: the records are so already, and nothing is written. */
  entries: LogEntry[]
  /** What becomes of the lines and the plan in force. Absent: both stay. */
  changed?: Changed
  /** The reservations that hold afterwards. Absent: those that held before. */
  reserved?: readonly Reserved[]
  /** Whether an order comes with the next number. */
  placed?: boolean
}

export interface Command<Prepared, Answer> {
  /**
   * Reads what the command names and makes its ids. Runs without the lock; again behind it where the records have moved on in
   * a way that matters. Throws all refusals that the records give reason for.
   */
  prepare: (context: ReadContext) => Promise<Prepared>
  /**
   * Answers what to write, or throws a refusal. Deterministic: no database, no clock, no chance. It may run several times; the
   * plan in force that the snapshot keeps open is as before unless the commit succeeds.
   */
  decide: (records: Records, prepared: Prepared) => Decision<Answer>
}

/** Where the first answer to a command under its caller's key is kept, so that the command runs once. */
export interface Once<Answer> {
  /** The caller's key; two commands with one key never share a transaction. */
  key: string
  /** The first answer; undefined where there is none yet. Asked behind the lock, before anything is decided. */
  find: (tx: TransactionClient) => Promise<Committed<Answer> | undefined>
  /** The rows that keep the first answer; written in the statement of the command itself. */
  keep: (first: Committed<Answer>) => Write[]
}

/** A command as it is handed to the executor. */
export interface Envelope<Prepared, Answer> {
  command: Command<Prepared, Answer>
  /** Nothing is written: the answer says what would be. Absent: false. */
  dryRun?: boolean
  /** Absent: a command that is sent twice runs twice. */
  once?: Once<Answer>
}
