// What an input asks for, as lines that the planner knows: packs, accounts and days are looked up, and everything that is
// wrong is noted with its path.
import type { TransactionClient } from '../../database/client.ts'
import { type Issue, issue } from '../../errors.ts'
import type { LocalDate, OrderLineDocument, Problem } from '../../planner/documents/index.ts'
import { addDays } from '../../planner/documents/index.ts'
import { References, type ThingRef, wordsOf } from '../thing-ref.ts'
import type { AskedLine } from './shapes.ts'

const NO_SERVE_DAY = 'no serve day is named; to learn the earliest, ask for a promise without one'
/** How long after its serve day a line may still be wanted: a later day is a slip. */
const MOST_DAYS_LATE = 366

/** What a line asks of the planner, but for who asks. */
export type Wanted = Pick<
  OrderLineDocument,
  'packId' | 'quantity' | 'serveOn' | 'latestServeOn' | 'priority' | 'splittable' | 'promisedOn' | 'placedAt'
>

/**
 * Ids of accounts and packs that can be ordered for, by kind and reference, known by the set-up that they belong to: orders
 * leave it as it is, and whatever changes it is read anew.
 */
const known = new WeakMap<Problem['accounts'], Map<string, string>>()

/** Looks up what an input about orders names. Call `settle` before using any answer. */
export class OrderReferences extends References {
  readonly #tx: TransactionClient
  readonly #distributorId: string
  readonly #problem: Problem
  readonly #now: Date
  readonly #known: Map<string, string>
  #noted = 0

  /** `problem` is the distributor's as it stands; lines that are asked for are placed `now` (B6). */
  constructor(tx: TransactionClient, distributorId: string, problem: Problem, now: Date) {
    super(tx, distributorId)
    this.#tx = tx
    this.#distributorId = distributorId
    this.#problem = problem
    this.#now = now
    this.#known = known.get(problem.accounts) ?? new Map<string, string>()
    known.set(problem.accounts, this.#known)
  }

  override note(...issues: Issue[]): void {
    this.#noted += issues.length
    super.note(...issues)
  }

  /** The id of an account that can be supplied: one with a route that is in use. */
  account(ref: ThingRef, path: string): Promise<string> {
    return this.#once('Account', ref, () => this.#findAccount(ref, path))
  }

  /** The id of a pack that can be ordered. */
  pack(ref: ThingRef, path: string): Promise<string> {
    return this.#once('Pack', ref, () => this.#findPack(ref, path))
  }

  /** What is found is remembered; what is wrong is noted each time anew. */
  async #once(kind: string, ref: ThingRef, find: () => Promise<string>): Promise<string> {
    const key = JSON.stringify([kind, ref])
    const found = this.#known.get(key)
    if (found !== undefined) return found
    const before = this.#noted
    const id = await find()
    if (id !== '' && this.#noted === before) this.#known.set(key, id)
    return id
  }

  async #findAccount(ref: ThingRef, path: string): Promise<string> {
    const id = await this.id('Account', ref, path)
    if (id === '') return id
    const route = await this.#tx.accountRoute.findFirst({
      where: { distributorId: this.#distributorId, accountId: id, route: { retiredAt: null } },
    })
    if (!route) this.note(issue(path, 'ACCOUNT_WITHOUT_ROUTE', `no route serves the account "${wordsOf(ref)}" (B2)`))
    return id
  }

  async #findPack(ref: ThingRef, path: string): Promise<string> {
    const id = await this.id('Pack', ref, path)
    if (id !== '' && !this.#problem.beers.some(({ packs }) => packs.some((pack) => pack.id === id)))
      this.note(issue(path, 'RETIRED', `the beer of the pack "${wordsOf(ref)}" was retired`))
    return id
  }

  /** A line as it is asked for at `path`, with `serveOn` where it has no day of its own. */
  async line(asked: AskedLine, path: string, serveOn: LocalDate | undefined): Promise<Wanted> {
    const packId = await this.pack(asked.pack, `${path}.pack`)
    const day = asked.serveOn ?? serveOn
    if (day === undefined) this.note(issue(`${path}.serveOn`, 'MISSING_VALUE', NO_SERVE_DAY))
    else {
      const at = asked.serveOn === undefined ? 'serveOn' : `${path}.serveOn`
      this.day(day, at)
      this.latest(day, asked.latestServeOn, `${path}.latestServeOn`, at)
    }
    return { ...wantedOf(asked), packId, serveOn: day ?? '', placedAt: this.#now.toISOString() }
  }

  /** Notes a latest day that is before the serve day, or more than a year after it. The serve day stands at `besides`. */
  latest(serveOn: LocalDate, latestServeOn: LocalDate | undefined, path: string, besides: string): void {
    if (latestServeOn !== undefined && latestServeOn < serveOn)
      this.noteBeside([besides], issue(path, 'LATEST_BEFORE_SERVE', `${latestServeOn} is before ${serveOn}`))
    const last = addDays(serveOn, MOST_DAYS_LATE)
    if (latestServeOn !== undefined && latestServeOn > last)
      this.noteBeside(
        [besides],
        issue(path, 'OUT_OF_RANGE', `${latestServeOn} is after ${last}, a year after the serve day`),
      )
  }

  /** Notes a day that is over or lies beyond the horizon, once for each path. */
  day(day: LocalDate, path: string): void {
    const { today, horizonDays } = this.#problem
    const last = addDays(today, horizonDays - 1)
    if (this.#days.has(path)) return
    this.#days.add(path)
    if (day < today) this.note(issue(path, 'SERVE_DAY_PAST', `${day} is before today, ${today}`))
    if (day > last)
      this.note(issue(path, 'SERVE_DAY_BEYOND_HORIZON', `${day} is after ${last}, the last day that plans reach (T5)`))
  }

  readonly #days = new Set<string>()
}

function wantedOf({ quantity, latestServeOn, priority, splittable }: AskedLine) {
  return { quantity, latestServeOn, priority, splittable }
}
