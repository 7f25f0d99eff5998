// What must be true after every change and on every day of a season: the plan in force is valid for the records, no promise is
// broken without the change that broke it having said so, the ledger balances and gives the tables, and no fact is lost.
import type { Clock } from '../../src/clock.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import { balancesOf, ledgerFaults } from '../../src/floor/ledger/identity.ts'
import { cleanPlace, filledPlace, isHolder, vesselPlace } from '../../src/floor/ledger/place.ts'
import type { Plan, Problem } from '../../src/planner/documents/index.ts'
import { checkPlan } from '../../src/planner/index.ts'
import { entryOf } from '../../src/records/ledger.ts'
import { PromiseWatch, type RisksAnswered } from './promise-watch.ts'

export interface Documents {
  problem: Problem
  plan: Plan
  revision: number
}

/** Where the records are, and how their documents are read. */
export interface RecordsToCheck {
  client: PrismaClient
  clock: Clock
  distributorId: string
  documents: () => Promise<Documents>
}

export class Checks {
  /** All that was found to be wrong, in words. */
  readonly faults: string[] = []
  /** Plans that were checked. */
  plans = 0
  readonly #records: RecordsToCheck
  readonly #watch: PromiseWatch

  constructor(records: RecordsToCheck) {
    this.#records = records
    this.#watch = new PromiseWatch(records.client, records.distributorId)
  }

  /** Takes what the first plan does not keep as known. */
  async begin(): Promise<void> {
    this.#watch.begin(await this.#records.documents())
  }

  /** After a change, or when a day has begun: the plan in force is valid, and what it does not keep was said. */
  async afterChange(what: string): Promise<Documents> {
    const documents = await this.#records.documents()
    const { problem, plan, revision } = documents
    const { violations } = checkPlan(problem, plan)
    this.plans += 1
    const note = (fault: string) => this.#note(`revision ${revision}, ${what}: ${fault}`)
    for (const { rule, message } of violations) note(`${rule}: ${message}`)
    for (const fault of await this.#watch.faults(documents)) note(fault)
    return documents
  }

  /**
   * At the end of a day: the ledger balances, replaying it gives the tables, what people said is all there, and who answered a
   * fact said which promises it breaks.
   */
  async endOfDay(said: ReadonlySet<string>, answered: readonly RisksAnswered[]): Promise<void> {
    await this.books()
    for (const fault of await this.#watch.unanswered(answered)) this.#note(fault)
    const { client, distributorId } = this.#records
    const where = { distributorId, assumed: false }
    const facts = await client.fact.findMany({ where, select: { id: true } })
    const there = new Set(facts.map(({ id }) => id))
    for (const id of said) if (!there.has(id)) this.#note(`the fact ${id} was said and is not there`)
  }

  /** The ledger balances, and replaying it gives the tables. */
  async books(): Promise<void> {
    const { client, distributorId } = this.#records
    const where = { distributorId }
    const entries = (await client.ledgerEntry.findMany({ where })).map(entryOf)
    for (const fault of ledgerFaults(entries)) this.#note(`the ledger: ${fault}`)
    const balances = balancesOf(entries)
    const expected = (place: string, amount: number, table: string) => {
      const replayed = balances.get(place) ?? 0
      if (replayed !== amount) this.#note(`${table} has ${amount} at ${place}, the ledger gives ${replayed}`)
    }
    const rows = await client.placeBalance.findMany({ where })
    const known = new Map(rows.map(({ place, amount }) => [place, Number(amount)]))
    const holders = new Set([...known.keys(), ...[...balances.keys()].filter(isHolder)])
    for (const place of holders) expected(place, known.get(place) ?? 0, 'the table of balances')
    for (const { id, litres } of await client.batch.findMany({ where }))
      expected(vesselPlace(id), Math.round(1000 * litres), 'the batch')
    for (const { id, quantity } of await client.stockLot.findMany({ where }))
      expected(filledPlace(id), quantity, 'the lot')
    for (const { siteId, containerTypeId, cleanNow } of await client.fleet.findMany({ where }))
      expected(cleanPlace(siteId, containerTypeId), cleanNow, 'the fleet')
  }

  #note(fault: string): void {
    this.faults.push(`${this.#records.clock.now().toISOString()}: ${fault}`)
  }
}
