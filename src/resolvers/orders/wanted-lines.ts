// What an input asks for, as lines that the planner knows: packs, accounts and days are looked up, and everything that is
// wrong is noted with its path.
import type { TransactionClient } from '../../database/client.ts'
import { issue } from '../../errors.ts'
import { addDays } from '../../planner/days.ts'
import type { LocalDate, OrderLine, Problem } from '../../planner/problem.ts'
import { References, type ThingRef, wordsOf } from '../thing-ref.ts'
import type { AskedLine } from './shapes.ts'

/** What a line asks of the planner, but for who asks. */
export type Wanted = Pick<
  OrderLine,
  'packId' | 'quantity' | 'serveOn' | 'latestServeOn' | 'priority' | 'splittable' | 'promisedOn'
>

/** Looks up what an input about orders names. Call `settle` before using any answer. */
export class OrderReferences extends References {
  readonly #tx: TransactionClient
  readonly #distributorId: string
  readonly #problem: Problem
  readonly #packs = new Map<string, string>()

  /** `problem` is the distributor's as it stands. */
  constructor(tx: TransactionClient, distributorId: string, problem: Problem) {
    super(tx, distributorId)
    this.#tx = tx
    this.#distributorId = distributorId
    this.#problem = problem
  }

  /** The id of an account that can be supplied: one with a route that is in use. */
  async account(ref: ThingRef, path: string): Promise<string> {
    const id = await this.id('Account', ref, path)
    if (id === '') return id
    const route = await this.#tx.accountRoute.findFirst({
      where: { distributorId: this.#distributorId, accountId: id, route: { retiredAt: null } },
    })
    if (!route) this.note(issue(path, 'ACCOUNT_WITHOUT_ROUTE', `no route serves the account "${wordsOf(ref)}" (B2)`))
    return id
  }

  /** The id of a pack that can be ordered. */
  async pack(ref: ThingRef, path: string): Promise<string> {
    const key = JSON.stringify(ref)
    const known = this.#packs.get(key)
    if (known !== undefined) return known
    const id = await this.id('Pack', ref, path)
    if (id !== '' && !this.#problem.beers.some(({ packs }) => packs.some((pack) => pack.id === id)))
      this.note(issue(path, 'RETIRED', `the beer of the pack "${wordsOf(ref)}" was retired`))
    else if (id !== '') this.#packs.set(key, id)
    return id
  }

  /** A line as it is asked for at `path`, with `serveOn` where it has no day of its own. */
  async line(asked: AskedLine, path: string, serveOn: LocalDate | undefined): Promise<Wanted> {
    const packId = await this.pack(asked.pack, `${path}.pack`)
    const day = asked.serveOn ?? serveOn
    if (day === undefined)
      this.note(issue(`${path}.serveOn`, 'MISSING_VALUE', 'neither the line nor the order names a serve day'))
    else this.day(day, asked.serveOn === undefined ? 'serveOn' : `${path}.serveOn`)
    if (day !== undefined) this.latest(day, asked.latestServeOn, `${path}.latestServeOn`)
    return { ...wantedOf(asked), packId, serveOn: day ?? '' }
  }

  /** Notes a latest day that is before the serve day. */
  latest(serveOn: LocalDate, latestServeOn: LocalDate | undefined, path: string): void {
    if (latestServeOn !== undefined && latestServeOn < serveOn)
      this.note(issue(path, 'LATEST_BEFORE_SERVE', `${latestServeOn} is before ${serveOn}`))
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
