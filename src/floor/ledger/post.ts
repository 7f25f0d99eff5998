// New entries of the ledger: facts that come, are replaced or are withdrawn, with what settles the places they touch. Nothing
// that is in the ledger changes: what no longer counts is taken back by an entry of its own.
import type { LocalDate } from '../../planner/documents/index.ts'
import { byOrder, type Entry, type EntryKey, entryKey, type Posting } from './entry.ts'
import { isHolder, type Place } from './place.ts'
import { change, settlePlace } from './settle.ts'

/** What is known of the ledger, as far as new postings need it. */
export interface Books {
  /** What a place holds now. */
  balance: (place: Place) => number
  /**
   * The entries that touch a place on a day or later, those that are taken back and those that take them back included. Asked
   * for holders alone.
   */
  since: (place: Place, day: LocalDate) => readonly Entry[]
  /** Entries of a fact. */
  ofFact: (factId: string) => readonly Entry[]
  /** The last day of the closed periods: nothing is posted on it or before it. Absent: all are open. */
  closedThrough?: LocalDate
  /** The first day that is open where some are closed. */
  firstOpen?: LocalDate
}

export type NewEntry = Omit<Entry, 'revision' | 'n'>

/**
 * The entries to append: `postings` are what new facts mean, `gone` are facts that are replaced or withdrawn. What touches a
 * place later than they do stays; what settles such a place is found anew. In the order in which they are to be numbered.
 */
export function newEntries(books: Books, postings: readonly Posting[], gone: readonly string[] = []): NewEntry[] {
  const taken = gone.flatMap((id) => outstanding(books.ofFact(id)))
  // What settles a place on an open day is found anew with the place; on a closed day it is taken back with its fact.
  const reversals = taken
    .filter(({ settles, day }) => !settles || !isOpen(day, books))
    .map((entry) => reversed(entry, books))
  const coming = postings.map((posting) => onOpenDay(posting, books))
  const places = new Map<Place, LocalDate>()
  for (const each of [...coming, ...reversals, ...taken.filter(({ day }) => isOpen(day, books))])
    for (const place of [each.from, each.to]) {
      const first = places.get(place)
      if (isHolder(place) && (first === undefined || each.day < first)) places.set(place, each.day)
    }
  const settled = [...places].flatMap(([place, day]) => settledAnew(books, place, day, coming, reversals, gone))
  return [...reversals, ...coming, ...settled]
}

/** What takes back settling entries of a place whose need is gone, and those that its postings need now. */
function settledAnew(
  books: Books,
  place: Place,
  day: LocalDate,
  coming: readonly Posting[],
  reversals: readonly NewEntry[],
  gone: readonly string[],
): NewEntry[] {
  const there = books.since(place, day)
  const active = activeOf(there)
  const takenBack = new Set(reversals.flatMap(({ reverses }) => (reverses ? [entryKey(reverses)] : [])))
  const closedReversals = reversals.filter(({ reverses }) => reverses && !there.some((each) => isSame(each, reverses)))
  const staying = active.filter(
    (each) => !takenBack.has(entryKey(each)) && !(each.settles && gone.includes(each.factId)),
  )
  const opening = books.balance(place) - there.reduce((sum, each) => sum + change(place, each), 0)
  const touching = [...staying, ...coming, ...closedReversals].filter(
    (each) => change(place, each) !== 0 || marks(place, each),
  )
  const needed = settlePlace(place, opening, touching)
  const had = active.filter(({ settles, from, to }) => settles && (from === place || to === place))
  const left = [...needed]
  const obsolete = had.filter((each) => {
    const index = left.findIndex((need) => isAlike(need, each))
    if (index === -1) return true
    left.splice(index, 1)
    return false
  })
  return [...obsolete.map((entry) => reversed(entry, books)), ...left]
}

function marks(place: Place, { from, setsTo }: Posting): boolean {
  return from === place && setsTo !== undefined
}

function isAlike(a: Posting, b: Posting): boolean {
  return a.factId === b.factId && a.from === b.from && a.to === b.to && a.amount === b.amount && byOrder(a, b) === 0
}

function isSame(a: EntryKey, b: EntryKey): boolean {
  return a.revision === b.revision && a.n === b.n
}

/** The entries that no other takes back, and that take none back. */
function outstanding(entries: readonly Entry[]): Entry[] {
  const out = new Set(entries.flatMap(({ reverses }) => (reverses ? [entryKey(reverses)] : [])))
  return entries.filter((each) => !each.reverses && !out.has(entryKey(each)))
}

/** The entries that count: neither taken back nor taking back, of a day that is the same for both. */
export function activeOf(entries: readonly Entry[]): Entry[] {
  const byKey = new Map(entries.map((each) => [entryKey(each), each]))
  const out = new Set<string>()
  for (const each of entries) {
    if (!each.reverses) continue
    const original = byKey.get(entryKey(each.reverses))
    // Taken back on another day, as its own is closed, both count: each on its day.
    if (original?.day !== each.day) continue
    out.add(entryKey(each.reverses))
    out.add(entryKey(each))
  }
  return entries.filter((each) => !out.has(entryKey(each)))
}

/**
 * The entry that takes another one back, on the same day, or on the first open one where that is closed: there it counts like
 * any other.
 */
function reversed({ revision, n, settles, setsTo: _, ...entry }: Entry, books: Books): NewEntry {
  const { from, to } = entry
  const back = onOpenDay({ ...entry, from: to, to: from }, books)
  const pairs = back.day === entry.day
  return { ...back, reverses: { revision, n }, ...(settles && pairs ? { settles } : {}) }
}

function isOpen(day: LocalDate, { closedThrough }: Books): boolean {
  return closedThrough === undefined || day > closedThrough
}

function onOpenDay<Each extends Posting>(posting: Each, books: Books): Each {
  if (isOpen(posting.day, books)) return posting
  const { firstOpen } = books
  if (firstOpen === undefined) throw new Error('closed periods need a first open day')
  return { ...posting, day: firstOpen }
}
