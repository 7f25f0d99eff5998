// B5: a line that no fill and no stock could ever serve, whatever is planned, is unserved, and its reasons say so.
import type { OrderLine } from '../documents/problem.ts'
import type { ReasonRule } from '../documents/rule-numbers.ts'
import type { Facts } from '../facts/facts.ts'
import type { Parcel } from '../facts/packed.ts'
import { type Violation, violation } from '../facts/violation.ts'
import { firstDayInTime } from './cut-off/check.ts'

/** Rules that make a window what it is; a reason for an empty window names one of them. */
const WINDOW_RULES: ReadonlySet<ReasonRule> = new Set(['T2', 'T3', 'T5', 'B1', 'B2', 'B3', 'B4', 'B5', 'B6'])

/** B5: lines whose fill window is empty for every allowed serve day are unserved, for a reason of the window. */
export function emptyWindows(facts: Facts): Violation[] {
  const found: Violation[] = []
  const lots = lotsByPackAndSite(facts)
  const unserved = new Map(facts.plan.unserved.map((entry) => [entry.orderLineId, entry]))
  for (const line of facts.problem.orderLines) {
    if (hasWindow(facts, lots, line)) continue
    if (facts.deliveriesOf.has(line.id))
      found.push(violation('B5', `line "${line.id}" is delivered though its fill window is empty`, line.id))
    const reasons = unserved.get(line.id)?.reasons
    if (reasons && !reasons.some(({ rule }) => WINDOW_RULES.has(rule)))
      found.push(violation('B5', `no reason says that the fill window of line "${line.id}" is empty`, line.id))
  }
  return found
}

/** Lots of stock by pack and site. */
type LotIndex = ReadonlyMap<string, ReadonlyMap<string, Parcel[]>>

function lotsByPackAndSite(facts: Facts): LotIndex {
  const lots = new Map<string, Map<string, Parcel[]>>()
  for (const parcel of facts.parcels) {
    if (!parcel.lot || parcel.quantity === 0) continue
    const ofPack = lots.get(parcel.of.pack.id) ?? new Map<string, Parcel[]>()
    lots.set(parcel.of.pack.id, ofPack.set(parcel.siteId, [...(ofPack.get(parcel.siteId) ?? []), parcel]))
  }
  return lots
}

/** Whether any dispatch day leaves room for a fill, or a stock lot fits it: calendars and spans alone decide. */
function hasWindow(facts: Facts, lots: LotIndex, line: OrderLine): boolean {
  const account = facts.accounts.get(line.accountId)
  const of = facts.packs.get(line.packId)
  if (!account || !of) return false
  const settle = account.settleDays ?? of.pack.settleDays
  const early = account.maxEarlyDays
  const onSale = account.minDaysOnSale
  const end = facts.horizon - 1
  const firstServe = Math.max(facts.dayOf(line.serveOn), 0)
  const lastServe = line.latestServeOn === undefined ? end : Math.min(end, facts.dayOf(line.latestServeOn))
  for (const routeId of account.routeIds) {
    const route = facts.routes.get(routeId)
    if (!route) continue
    const transit = route.route.transitDays
    const inStock = lots.get(line.packId)?.get(route.route.siteId) ?? []
    const first = Math.max(firstDayInTime(facts, line, route.route), firstServe - settle - early - transit)
    for (let dispatch = first; dispatch + transit + settle <= lastServe; dispatch++) {
      const arrival = dispatch + transit
      // The earliest serve day asks least of the shelf life.
      const serve = Math.max(firstServe, arrival + settle)
      if (!route.dispatchesOn(dispatch)) continue
      if (account.receivesWeekdays && !account.receivesWeekdays.includes(facts.weekdayOf(arrival))) continue
      if (serve > arrival + settle + early) continue
      const earliestFill = Math.max(0, serve + onSale - of.pack.shelfLifeDays)
      if (earliestFill <= dispatch - of.pack.conditioningDays) return true
      if (inStock.some(({ fitOn, bestBefore }) => fitOn <= dispatch && bestBefore >= serve + onSale)) return true
    }
  }
  return false
}
