// What every resolver of the schema gets for one request: the database, the clock, and the caller.
import { randomUUID } from 'node:crypto'
import type { PrismaClient } from '../database/client.ts'
import type { OnceHandle } from '../database/once.ts'
import { Forbidden, Unauthenticated } from '../errors.ts'
import { authenticate, type Caller } from '../resolvers/access/authenticate.ts'
import type { KeyCounts } from '../resolvers/access/key-quotas.ts'
import { mayReadWith } from '../resolvers/access/may-read.ts'
import { isUseNew, noteUse } from '../resolvers/access/note-use.ts'
import type { Actor } from '../resolvers/actor.ts'
import { isRolled } from '../resolvers/floor/days-over.ts'
import { rollDays } from '../resolvers/floor/roll-days.ts'
import { LinesInForce } from '../resolvers/orders/lines-in-force.ts'
import type { EndTurn, PlannerTurns } from '../resolvers/planner-turns.ts'
import type { PlanningActor } from '../resolvers/planning-actor.ts'
import { type PlanBound, planBound } from '../resolvers/plans/plan-bound.ts'
import { type PlanView, readPlanView } from '../resolvers/plans/plan-view.ts'
import type { WaitingWriters } from '../resolvers/waiting-writers.ts'
import type { Scope } from '../scopes.ts'
import { nextTurn } from '../thread-turns.ts'
import { MAX_COMPLEXITY } from './limits.ts'
import { Rows } from './rows.ts'

/** What the server has for all requests. */
export interface Services extends Omit<PlanningActor, 'distributorId' | 'keyId' | 'found' | 'mayRead' | 'once'> {
  /** Who may ask the planner when. */
  turns: PlannerTurns
  /** Hears how long the question of a promise took, in seconds. */
  onPromise?: (seconds: number) => void
  /** Who writes, and who waits to. */
  writers: WaitingWriters
  /** What keys have used. */
  counts: KeyCounts
  /** What a query may cost (costs.ts). Absent: `MAX_COMPLEXITY`. */
  queryCost?: number
}

export class Context {
  readonly services: Services
  /** The request where it runs once under its caller's key. */
  once: OnceHandle | undefined
  readonly #caller: Caller | undefined
  readonly #planViews = new Map<string, Promise<PlanView | undefined>>()
  readonly #planBounds = new Map<string, Promise<PlanBound | null>>()
  #turn: Promise<EndTurn> | undefined
  #isReading = false
  #linesInForce: LinesInForce | undefined
  #rows: Rows | undefined

  constructor(services: Services, caller: Caller | undefined) {
    this.services = services
    this.#caller = caller
  }

  get client(): PrismaClient {
    return this.services.client
  }

  /** What the request may cost. */
  get queryCost(): number {
    return this.services.queryCost ?? MAX_COMPLEXITY
  }

  /** The caller. Throws `Unauthenticated` where the request shows no key. */
  get caller(): Caller {
    if (!this.#caller) throw new Unauthenticated('KEY_MISSING')
    return this.#caller
  }

  /** Whether the request shows a key. */
  get hasKey(): boolean {
    return this.#caller !== undefined
  }

  /** Throws `Unauthenticated` where the request shows no key. */
  requireKey(): void {
    if (!this.#caller) throw new Unauthenticated('KEY_MISSING')
  }

  get distributorId(): string {
    return this.caller.distributorId
  }

  /** What use-cases take as their first argument. */
  get actor(): Actor {
    const { client, clock, snapshots, onFault } = this.services
    const mayRead = mayReadWith(this.caller.scopes)
    const { distributorId, keyId } = this.caller
    return { client, clock, snapshots, onFault, mayRead, distributorId, keyId, once: this.once }
  }

  /** The same for use-cases that ask the planner. */
  get planning(): PlanningActor {
    return { ...this.services, ...this.actor }
  }

  /** The same for root fields of queries, which are answered from the records as the request found them. */
  get planningOnRead(): PlanningActor {
    return { ...this.planning, found: this.caller.found }
  }

  /**
   * Does what only reads: where it asks the planner it waits for its distributor's turn there, which ends with it. Writers are
   * gathered behind the lock, many at a time (executor.ts).
   */
  async reading<Answer>(read: () => Answer | Promise<Answer>): Promise<Answer> {
    this.#isReading = true
    try {
      return await read()
    } finally {
      // What goes on after an answer that failed early is thrown away: it takes no turn that would never end.
      this.#isReading = false
      void this.#turn?.then(
        (end) => end(),
        () => undefined,
      )
    }
  }

  /**
   * What a question to the planner is answered from, once it is this request's turn: one for all its questions. Writers wait in
   * a queue of their own, and what they have written is shown to them without a turn. Throws `Busy`.
   */
  async askPlanner(): Promise<PlanningActor> {
    if (this.#isReading) {
      this.#turn ??= this.services.turns.take(this.distributorId)
      await this.#turn
      await nextTurn()
    }
    return this.planningOnRead
  }

  /** Rows by id, read together for all that one step of a query asks for. */
  get rows(): Rows {
    this.#rows ??= new Rows(this.client, this.distributorId)
    return this.#rows
  }

  /** What the plan in force says of order lines, looked up once a request. */
  get linesInForce(): LinesInForce {
    this.#linesInForce ??= new LinesInForce(this.actor)
    return this.#linesInForce
  }

  /** A plan with what follows from it, read once a request; undefined where it is not solved. */
  planView(planId: string): Promise<PlanView | undefined> {
    let view = this.#planViews.get(planId)
    if (!view) {
      view = this.askPlanner().then((actor) => readPlanView(actor, planId))
      this.#planViews.set(planId, view)
    }
    return view
  }

  /** How cheap a plan of the same problem can be at best, read once a request; null where there is no such bound. */
  planBound(planId: string): Promise<PlanBound | null> {
    let bound = this.#planBounds.get(planId)
    if (!bound) {
      bound = planBound({ ...this.planning, once: undefined }, planId)
      this.#planBounds.set(planId, bound)
    }
    return bound
  }

  /** Throws `Forbidden` where the key lacks the scope, `Unauthenticated` where there is no key. */
  require(scope: Scope): true {
    if (!this.caller.scopes.has(scope)) throw new Forbidden(scope)
    return true
  }
}

/** The context of a request, which may have shown its key in another way. Throws `Unauthenticated` where it shows a key that is not good, `Busy` where the key has sent too many. */
export async function contextOf(services: Services, request: Request, shown?: string): Promise<Context> {
  const key = shown ?? keyOf(request.headers)
  if (key === undefined) return new Context(services, undefined)
  return new Context(services, await callerOf(services, request, key))
}

/** The owner of a key. Days that are over are rolled first, so that nothing is answered from a plan of yesterday, or offers what has ended. */
async function callerOf(services: Services, request: Request, key: string): Promise<Caller> {
  const { client, clock, jobs, onFault } = services
  const now = clock.now()
  const caller = await authenticate(client, key, now)
  services.counts.count(request, caller)
  if (isUseNew(caller, now))
    jobs.beside(
      () => noteUse(client, caller, now),
      (error) => onFault(error, randomUUID()),
    )
  if (isRolled(clock, caller.found)) return caller
  await rollDays({ ...services, distributorId: caller.distributorId })
  return authenticate(client, key, now)
}

/** The key from `Authorization: Bearer <key>` or `x-api-key: <key>`; undefined where there is neither. */
function keyOf(headers: Headers): string | undefined {
  const authorization = headers.get('authorization')
  if (authorization) return /^bearer +(\S+) *$/i.exec(authorization)?.[1] ?? ''
  return headers.get('x-api-key') ?? undefined
}
