// A ledger in memory, as traces read it.
import type { Fact } from '../../src/floor/facts/fact.ts'
import { type Entry, entryKey } from '../../src/floor/ledger/entry.ts'
import { balancesOf } from '../../src/floor/ledger/identity.ts'
import { kindOf, type Place } from '../../src/floor/ledger/place.ts'
import { calledBackBy } from '../../src/floor/trace/called-back.ts'
import { byTime, lotOf, type Reading, type TracedEntry, type TraceLedger } from '../../src/floor/trace/trace-ledger.ts'

/** The entries that no other takes back, with the kinds of their facts. */
export function tracedEntries(entries: readonly Entry[], facts: Iterable<Fact>): TracedEntry[] {
  const kinds = new Map([...facts].map(({ id, kind }) => [id, kind]))
  const back = new Set(entries.flatMap(({ reverses }) => (reverses ? [entryKey(reverses)] : [])))
  return entries.flatMap((entry) => {
    const kind = kinds.get(entry.factId)
    return entry.reverses || back.has(entryKey(entry)) || !kind ? [] : [{ ...entry, kind }]
  })
}

/** It answers as the database does: the newest first, and no more than was asked for. */
export function memoryTraceLedger(entries: readonly TracedEntry[], facts: readonly Fact[] = []): TraceLedger {
  const reading =
    (end: 'from' | 'to') =>
    (places: readonly Place[], { most, since }: Reading) =>
      Promise.resolve(
        entries
          .filter((entry) => places.includes(entry[end]) && (since === undefined || entry.day >= since))
          .sort((a, b) => byTime(b, a))
          .slice(0, most),
      )
  const balances = balancesOf(entries)
  return {
    into: reading('to'),
    outOf: reading('from'),
    roadsOf: (lotIds) => {
      const places = new Set(entries.flatMap(({ from, to }) => [from, to]))
      const isOf = (place: Place) => kindOf(place) === 'ON_ROAD' && lotIds.includes(lotOf(place) ?? '')
      return Promise.resolve([...places].filter(isOf))
    },
    calledBack: (lotIds) => Promise.resolve(calledBackBy(facts).filter(({ lotId }) => lotIds.includes(lotId))),
    held: (places) => Promise.resolve(new Map(places.map((place) => [place, balances.get(place) ?? 0]))),
  }
}
