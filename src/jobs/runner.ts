// Works on jobs in this process: claims what is due, keeps the leases, writes results, and gives up what failed twice.
import { randomUUID } from 'node:crypto'
import { hostname } from 'node:os'
import { inTransaction } from '../database/transaction.ts'
import { attemptAt } from './attempt.ts'
import { enqueueDaily } from './daily.ts'
import { type JobKind, type JobServices, type Lane, LeaseLost, ProcessStops } from './job-kind.ts'
import type { Jobs } from './jobs.ts'
import { anyDue, type Claimed, claimExhausted, claimNext, failJob, renewLeases } from './leases.ts'
import { longestThatFits } from './places.ts'
import { type Running, runAttempt } from './run-attempt.ts'

export interface RunnerOptions {
  /** Jobs of the planning lane at once; one short one runs beside them. 0: this process plans nothing. */
  planning: number
  /** Most jobs of the planning lane that run for one distributor at once, over all processes; of several, one is short. */
  perDistributor: number
  /** Seconds for which a lease holds, by lane. Unless given 30 for planning, and 10 for what is quick: others wait for less. */
  leaseSeconds?: Record<Lane, number>
  /** Seconds between two renewals. 3 unless given. */
  renewSeconds?: number
}

/** Milliseconds between two looks at what other processes have enqueued or left. */
const BETWEEN_LOOKS = 1000
/** Milliseconds between two looks whether the daily jobs are there. */
const BETWEEN_DAILY = 60_000
/** Milliseconds between two reports of the same fault. */
const BETWEEN_SAME_FAULTS = 60_000
/** More than any distributor has running. */
const UNLIMITED = 1_000_000

/** Why a job is given up whose processes ended, or lost the database, each time. */
export const ENDED_EACH_TIME = 'The process that worked on it ended before it was done, each time that it was tried.'

const LANES: readonly Lane[] = ['PLANNING', 'QUICK']

export class JobRunner<Services extends JobServices> implements Jobs {
  readonly #kinds: ReadonlyMap<string, JobKind<never, Services>>
  readonly #services: Services
  readonly #planning: number
  readonly #perDistributor: number
  readonly #leaseSeconds: Record<Lane, number>
  readonly #worker = `${hostname()} ${process.pid} ${randomUUID().slice(0, 8)}`
  readonly #running = new Map<string, Running>()
  readonly #beside = new Set<Promise<void>>()
  readonly #timers: NodeJS.Timeout[] = []
  #stopped = false
  #asked = false
  #passing: Promise<void> | undefined
  #renewing: Promise<void> | undefined
  #said = { text: '', at: 0 }
  #dailyAt = Number.NEGATIVE_INFINITY

  /** Begins nothing before `wake` or `start` is called. */
  constructor(kinds: readonly JobKind<never, Services>[], services: Services, options: RunnerOptions) {
    this.#kinds = new Map(kinds.map((kind) => [kind.name, kind]))
    this.#services = services
    this.#planning = options.planning
    this.#perDistributor = options.perDistributor
    this.#leaseSeconds = options.leaseSeconds ?? { PLANNING: 30, QUICK: 10 }
    this.#timers.push(setInterval(() => this.checkLeases(), (options.renewSeconds ?? 3) * 1000).unref())
  }

  /** From now on looks by itself, about every second, for what other processes enqueued or left, and for what is done daily. */
  start(): void {
    this.#timers.push(setInterval(() => this.#look(), BETWEEN_LOOKS))
    this.#look()
  }

  wake(): void {
    this.#asked = true
    if (this.#stopped) return
    this.#passing ??= this.#passes()
  }

  checkLeases(): void {
    if (this.#running.size === 0 || this.#renewing) return
    this.#renewing = this.#renew()
      .catch((error: unknown) => this.#noteFault(error))
      .finally(() => {
        this.#renewing = undefined
      })
  }

  beside(work: () => Promise<void>, onFault: (error: unknown) => void): void {
    const done = work()
      .catch(onFault)
      .finally(() => this.#beside.delete(done))
    this.#beside.add(done)
  }

  async settled(): Promise<void> {
    const open = () => [this.#passing, ...this.#beside, ...[...this.#running.values()].map(({ ended }) => ended)]
    for (let waits = open(); waits.some(Boolean); waits = open()) await Promise.all(waits)
  }

  async stop(): Promise<void> {
    this.#stopped = true
    for (const timer of this.#timers) clearInterval(timer)
    await this.#passing
    for (const { abort } of this.#running.values()) abort.abort(new ProcessStops())
    await this.settled()
    await this.#renewing
  }

  #look(): void {
    const now = performance.now()
    if (now - this.#dailyAt >= BETWEEN_DAILY) {
      this.#dailyAt = now
      this.beside(
        () => enqueueDaily(this.#services, this.#kinds.values()),
        (error) => this.#noteFault(error),
      )
    }
    this.wake()
  }

  async #passes(): Promise<void> {
    while (this.#asked && !this.#stopped) {
      this.#asked = false
      try {
        await this.#pass()
      } catch (error) {
        this.#noteFault(error)
      }
    }
    // Not later: a call of `wake` in between would be lost.
    this.#passing = undefined
  }

  /** Gives up what failed, and begins what there is room for. */
  async #pass(): Promise<void> {
    const { client, clock } = this.#services
    if (!(await anyDue(client, [...this.#kinds.keys()], clock.now()))) return
    // One that cannot be given up keeps no other from its turn.
    while (await this.#giveUpExhausted().catch((error: unknown) => this.#cannotGiveUp(error)));
    for (const lane of LANES) while (await this.#beginOne(lane));
  }

  async #beginOne(lane: Lane): Promise<boolean> {
    const mostSeconds = longestThatFits(lane, this.#planning, this.#running.values())
    const kinds = [...this.#kinds.values()].filter((kind) => kind.lane === lane).map(({ name }) => name)
    if (mostSeconds === undefined || kinds.length === 0 || this.#stopped) return false
    const { client, clock } = this.#services
    const claimed = await claimNext(client, {
      ...{ kinds, mostSeconds, leaseSeconds: this.#leaseSeconds[lane], worker: this.#worker, now: clock.now() },
      perDistributor: lane === 'PLANNING' ? this.#perDistributor : UNLIMITED,
    })
    const kind = claimed && this.#kinds.get(claimed.kind)
    if (!claimed || !kind) return false
    this.#begin(kind, claimed)
    return true
  }

  #begin(kind: JobKind<never, Services>, claimed: Claimed): void {
    const abort = new AbortController()
    const { lane } = kind
    const { seconds, leaseToken } = claimed
    const attempt = attemptAt(claimed, this.#services, abort)
    const began = performance.now()
    const ended = runAttempt(kind, attempt, claimed, this.#services)
      .then((outcome) =>
        this.#services.onAttempt?.({ kind: kind.name, outcome, seconds: (performance.now() - began) / 1000 }),
      )
      .catch((error: unknown) => this.#services.onFault(error, claimed.id))
      .finally(() => {
        this.#running.delete(leaseToken)
        this.wake()
      })
    this.#running.set(leaseToken, { lane, seconds, abort, ended, heldAt: performance.now() })
  }

  async #giveUpExhausted(): Promise<boolean> {
    const { client, clock } = this.#services
    return inTransaction(client, async (tx) => {
      const claimed = await claimExhausted(tx, [...this.#kinds.keys()])
      if (!claimed) return false
      await failJob(tx, claimed, ENDED_EACH_TIME, clock.now())
      const failure = { reason: ENDED_EACH_TIME, worthRepeating: true }
      await this.#kinds.get(claimed.kind)?.failed?.(tx, claimed, failure, this.#services)
      return true
    })
  }

  #cannotGiveUp(error: unknown): false {
    this.#noteFault(error)
    return false
  }

  async #renew(): Promise<void> {
    const begun = performance.now()
    const all = [...this.#running]
    try {
      for (const lane of LANES) {
        const running = all.filter(([, job]) => job.lane === lane)
        if (running.length === 0) continue
        const tokens = running.map(([token]) => token)
        const held = await renewLeases(this.#services.client, tokens, this.#leaseSeconds[lane])
        for (const [token, job] of running)
          if (held.has(token)) job.heldAt = begun
          else job.abort.abort(new LeaseLost())
      }
    } finally {
      // Where the database does not answer, a lease runs out all the same.
      for (const [, job] of all)
        if (performance.now() - job.heldAt > this.#leaseSeconds[job.lane] * 1000) job.abort.abort(new LeaseLost())
    }
  }

  /** Says what went wrong, the same once a minute: the database may be away for long. */
  #noteFault(error: unknown): void {
    const text = String(error)
    const at = performance.now()
    if (text === this.#said.text && at - this.#said.at < BETWEEN_SAME_FAULTS) return
    this.#said = { text, at }
    this.#services.onFault(error, 'jobs')
  }
}
