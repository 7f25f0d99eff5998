// What a kind of job is: how its payload is read, who does it, and what its failure means for what it was done for.
import type { z } from 'zod'
import type { Clock } from '../clock.ts'
import type { PrismaClient, TransactionClient } from '../database/client.ts'

/** Kinds that keep a processor busy for long, and those that do not: each lane has places of its own. */
export type Lane = 'PLANNING' | 'QUICK'

/** What every runner of jobs has. */
export interface JobServices {
  client: PrismaClient
  clock: Clock
  /** Gets faults of ours, with an id by which they can be found. */
  onFault: (error: unknown, id: string) => void
  /** Hears of each attempt that has ended. */
  onAttempt?: (ended: EndedAttempt) => void
}

/** How an attempt ended: with its result, given up, left to another attempt, given back as the process stops, or without its lease. */
export type Outcome = 'DONE' | 'GIVEN_UP' | 'LEFT' | 'GIVEN_BACK' | 'LEASE_LOST'

export interface EndedAttempt {
  kind: string
  outcome: Outcome
  seconds: number
}

/** What a job is done for. */
export interface JobSubject {
  distributorId: string
  key: string
}

/** One attempt at a job, as its handler sees it. */
export interface Attempt extends JobSubject {
  jobId: string
  /** 1 for the first. */
  number: number
  /** Aborted when the lease is lost or the process stops; the handler then rejects with the signal's reason. */
  signal: AbortSignal
  /** Whether the lease is still held. */
  stillMine(): Promise<boolean>
  /** Writes something on the way in a transaction, if the lease is still held; else writes nothing and aborts the signal. */
  note(write: (tx: TransactionClient) => Promise<unknown>): Promise<void>
  /**
   * Ends the job within a transaction of the handler, such as one behind a distributor's lock: first in it, before the result
   * is written. Throws `LeaseLost`. A handler that answers its result as a function does not call it.
   */
  finish(tx: TransactionClient): Promise<void>
}

/** Writes a result; it runs in the transaction that ends the job, behind the check of the lease. */
export type WriteResult = (tx: TransactionClient) => Promise<void>

/** Why a job was given up. */
export interface JobFailure {
  /** A sentence that a person reads. */
  reason: string
  /** Whether asking for the same again may help. */
  worthRepeating: boolean
}

interface Definition<Payload, Services> {
  name: string
  lane: Lane
  payload: z.ZodType<Payload>
  /** Times that it is begun before it is given up. 2 unless given. */
  attempts?: number
  /** Local time of the distributor, `HH:mm`, at which it is done each day, with the payload `{}`. */
  daily?: string
  /**
   * Does it, outside of any transaction, and answers how the result is written. May throw `JobFailed` where another attempt is
   * of no use; whatever else it throws is a fault of ours, and is tried again.
   */
  run: (attempt: Attempt, payload: Payload, services: Services) => Promise<WriteResult | undefined>
  /** Writes that it was given up, in the transaction that gives it up. */
  failed?: (tx: TransactionClient, subject: JobSubject, failure: JobFailure, services: Services) => Promise<void>
}

export interface JobKind<Payload, Services>
  extends Omit<Definition<Payload, Services>, 'payload' | 'run' | 'attempts'> {
  attempts: number
  /** The payload as its row holds it. */
  text: (payload: Payload) => string
  /** Does a job whose payload is not yet parsed. */
  run: (attempt: Attempt, payload: unknown, services: Services) => Promise<WriteResult | undefined>
}

/** A kind of job; list it in `src/jobs/kinds.ts`. */
export function jobKind<Payload, Services>(definition: Definition<Payload, Services>): JobKind<Payload, Services> {
  const { payload: shape, run, attempts = 2, ...rest } = definition
  return {
    ...rest,
    attempts,
    text: (payload) => JSON.stringify(payload),
    run: (attempt, payload, services) => run(attempt, shape.parse(payload), services),
  }
}

/** Thrown by a handler: the job is given up at once. */
export class JobFailed extends Error {
  constructor(reason: string) {
    super(reason)
    this.name = 'JobFailed'
  }
}

/** The lease ran out, or the job was cancelled: what this attempt found does not count. */
export class LeaseLost extends Error {
  constructor() {
    super('The lease of the job is lost.')
    this.name = 'LeaseLost'
  }
}

/** The process stops: another one does the job. */
export class ProcessStops extends Error {
  constructor() {
    super('The process stops.')
    this.name = 'ProcessStops'
  }
}
