// What must hold of the ledger after every revision: nothing comes from nowhere and nothing is gone without a place.
import type { Entry } from './entry.ts'
import { isHolder, kindOf, type Place, type PlaceKind, type Unit } from './place.ts'
import { change } from './settle.ts'

/** What every place holds after some entries; sources count what has come out of them. */
export function balancesOf(entries: readonly Pick<Entry, 'from' | 'to' | 'amount'>[]): Map<Place, number> {
  const balances = new Map<Place, number>()
  for (const entry of entries)
    for (const place of new Set([entry.from, entry.to]))
      balances.set(place, (balances.get(place) ?? 0) + change(place, entry))
  return balances
}

/** Amounts by kind of place, in the words of the trade; sources and sinks as positive numbers. */
export function totalsOf(entries: readonly Entry[], unit: Unit): Map<PlaceKind, number> {
  const totals = new Map<PlaceKind, number>()
  for (const [place, amount] of balancesOf(entries.filter((each) => each.unit === unit))) {
    const kind = kindOf(place)
    totals.set(kind, (totals.get(kind) ?? 0) + amount)
  }
  return totals
}

/**
 * What is wrong with the entries of a ledger, in words; empty where it balances. What came in (opening, brewed, bought, found)
 * equals what is held and what is gone, in both units, and no holder holds less than nothing.
 */
export function ledgerFaults(entries: readonly Entry[]): string[] {
  const faults: string[] = []
  for (const { unit, amount, from, to, setsTo } of entries) {
    if (!Number.isSafeInteger(amount) || amount < 0) faults.push(`${amount} ${unit} from ${from} to ${to}`)
    if (amount === 0 && setsTo === undefined && from === to) faults.push(`nothing moves from ${from} to ${to}`)
  }
  const units = new Map<Place, Unit>()
  for (const { unit, from, to } of entries)
    for (const place of [from, to])
      if (isHolder(place)) {
        if ((units.get(place) ?? unit) !== unit) faults.push(`${place} holds both litres and containers`)
        units.set(place, unit)
      }
  for (const [place, amount] of balancesOf(entries))
    if (isHolder(place) && amount < 0) faults.push(`${place} holds ${amount}`)
  return faults
}
