// A ledger in memory, to try what the postings make of it.
import type { Fact } from '../../src/floor/facts/fact.ts'
import { postingsOf } from '../../src/floor/facts/postings.ts'
import type { Entry } from '../../src/floor/ledger/entry.ts'
import { balancesOf } from '../../src/floor/ledger/identity.ts'
import type { Place } from '../../src/floor/ledger/place.ts'
import { newEntries } from '../../src/floor/ledger/post.ts'
import type { LocalDate } from '../../src/planner/documents/index.ts'

export class MemoryLedger {
  readonly entries: Entry[] = []
  #revision = 0
  #closed: { closedThrough: LocalDate; firstOpen: LocalDate } | undefined

  close(closedThrough: LocalDate, firstOpen: LocalDate): void {
    this.#closed = { closedThrough, firstOpen }
  }

  /** Appends what new facts mean, and takes back what others meant. */
  record(facts: readonly Fact[], gone: readonly string[] = []): void {
    const { entries } = this
    const balances = balancesOf(entries)
    const books = {
      balance: (place: Place) => balances.get(place) ?? 0,
      since: (place: Place, day: LocalDate) =>
        entries.filter((each) => each.day >= day && (each.from === place || each.to === place)),
      ofFact: (factId: string) => entries.filter((each) => each.factId === factId),
      ...this.#closed,
    }
    this.#revision += 1
    const fresh = newEntries(books, facts.flatMap(postingsOf), gone)
    entries.push(...fresh.map((entry, index) => ({ ...entry, revision: this.#revision, n: index + 1 })))
  }

  /** What each place holds; places that hold nothing are left out. */
  balances(): Record<Place, number> {
    return Object.fromEntries([...balancesOf(this.entries)].filter(([, amount]) => amount !== 0).sort())
  }
}
