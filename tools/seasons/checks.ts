// What must be true after every change and on every day of a season: the plan in force is valid for the records, no promise is
// broken without the change that broke it having said so, the ledger balances and gives the tables, and no fact is lost.
import type { Clock } from '../../src/clock.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import type { Plan, Problem } from '../../src/planner/documents/index.ts'
import { checkPlan } from '../../src/planner/index.ts'
import { bookFaults } from './book-faults.ts'
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

  /** Takes what the first plan does not keep as known; its documents, where the caller has read them. */
  async begin(documents?: Documents): Promise<void> {
    this.#watch.begin(documents ?? (await this.#records.documents()))
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
    for (const fault of await bookFaults(client, distributorId)) this.#note(fault)
  }

  #note(fault: string): void {
    this.faults.push(`${this.#records.clock.now().toISOString()}: ${fault}`)
  }
}
