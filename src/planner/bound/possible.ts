// Which ways to deliver a line are open to it as a whole: a line that is not to be split needs all its containers fit to
// leave on one day (A3), and early on there may not be so many of them, whatever the other lines do without.

import { mostLitres, mostMinutes } from '../documents/day-limits.ts'
import { minutesEach, setupMinutes } from '../documents/filling-minutes.ts'
import type { DispatchOption, Instance, LineFacts } from './instance.ts'
import {
  BATCH_TOLERANCE_LITRES,
  type Brewable,
  brewWindow,
  type FillWindow,
  type Supply,
  standingWindow,
  TOLERANCE_LITRES,
} from './supply.ts'

/**
 * The instance without the ways in which no line could be delivered even if it were alone. Every valid plan delivers in
 * the ways that are left.
 */
export function withPossibleWays(instance: Instance, supply: Supply): Instance {
  const mostFilled = fillLimits(instance)
  const lines = instance.lines.map((line) => {
    if (line.line.splittable) return line
    const options = line.options.filter(
      (option) => mostAtHand(instance, supply, line, option, mostFilled) >= line.line.quantity,
    )
    return options.length < line.options.length ? { ...line, options } : line
  })
  return { ...instance, lines }
}

/** Most containers of a pack that a site can have filled by the end of a day, the first one on `from`. */
type FillLimit = (siteId: string, line: LineFacts, days: { from: number; to: number }) => number

/** Most containers that could be at hand for one delivery of a line (A1, B3, B4, C1, D1, L1, S1). */
function mostAtHand(
  instance: Instance,
  supply: Supply,
  line: LineFacts,
  { route, siteId, dispatchOn, serveOn }: DispatchOption,
  mostFilled: FillLimit,
): number {
  const { facts, minDaysOnSale } = line
  const { pack, beer, nominal, drawn } = facts
  if (line.line.quantity * nominal > mostLitres(route, instance.dateOf(dispatchOn)) + TOLERANCE_LITRES) return 0
  const keepsTo = serveOn + minDaysOnSale
  let lots = 0
  for (const lot of instance.problem.stock)
    if (lot.siteId === siteId && lot.packId === pack.id && instance.at(lot.readyOn) <= dispatchOn)
      if (instance.at(lot.bestBefore) >= keepsTo) lots += lot.quantity
  if (lots >= line.line.quantity) return lots
  const { fillDays } = instance.site(siteId)
  const to = dispatchOn - pack.conditioningDays
  /** First day of a window on which what is filled can go this way; infinity where there is none. */
  const firstDay = ({ first, last }: FillWindow) =>
    fillDays.find((day) => day >= first && day <= Math.min(last, to) && day + pack.shelfLifeDays >= keepsTo) ??
    Number.POSITIVE_INFINITY
  let beerFor = 0
  let from = Number.POSITIVE_INFINITY
  for (const standing of supply.standing) {
    if (standing.siteId !== siteId || standing.beer !== beer) continue
    const first = firstDay(standingWindow(standing, instance.at, pack))
    if (first > to) continue
    const containers = Math.floor((standing.batch.litres + BATCH_TOLERANCE_LITRES) / drawn + 1e-9)
    // Too little for one container makes none earlier.
    if (containers > 0) from = Math.min(from, first)
    beerFor += containers
  }
  for (const brewable of supply.brewable) {
    if (brewable.siteId !== siteId || brewable.beer !== beer) continue
    const first = firstDay(brewWindow(beer, pack, { from: brewable.ready, to: instance.horizon }))
    if (first > to) continue
    beerFor += mostBrewed(brewable, drawn, to)
    from = Math.min(from, first)
  }
  // A container without litres takes no beer, but there must be some.
  if (drawn === 0 && beerFor !== 0) beerFor = Number.POSITIVE_INFINITY
  if (from > to) return lots
  return lots + Math.min(beerFor, mostStored(instance, siteId, line), mostFilled(siteId, line, { from, to }))
}

/** Most containers of so many litres that all brews of a beer up to a fill day give, were nothing else brewed. */
function mostBrewed({ free, beer, readyAfter }: Brewable, drawn: number, lastFill: number): number {
  let most = 0
  for (const { vessel, brewOn } of free) {
    if (brewOn + readyAfter > lastFill) continue
    // A batch stands until it is ready at least; the next follows after the turnaround.
    const batches = 1 + Math.floor((lastFill - readyAfter - brewOn) / (readyAfter + vessel.turnaroundDays + 1))
    const litres = (vessel.capacityLitres + TOLERANCE_LITRES) * (1 - beer.lossFraction) + BATCH_TOLERANCE_LITRES
    most += batches * Math.floor(litres / drawn + 1e-9)
  }
  return most
}

/** Most containers that stand filled on the day before they leave together (S1). */
function mostStored({ problem }: Instance, siteId: string, { facts: { pack, nominal } }: LineFacts): number {
  if (pack.conditioningDays === 0 || nominal === 0) return Number.POSITIVE_INFINITY
  // What is fit on the very day of its dispatch stood where it conditions, the rest in the cold.
  const climates = new Set(['COLD', pack.conditionIn])
  let most = 0
  for (const climate of climates) {
    const store = problem.stores.find((one) => one.siteId === siteId && one.climate === climate)
    most += store ? Math.floor((store.capacityLitres + TOLERANCE_LITRES) / nominal + 1e-9) : Number.POSITIVE_INFINITY
  }
  return most
}

/** C1 and L1: clean containers and the fillers' minutes. */
function fillLimits(instance: Instance): FillLimit {
  const { problem } = instance
  const firstBack = firstBackByPlan(instance)
  const counts = new Map<string, number[]>()
  return (siteId, line, { from, to }) => {
    const filled = perDay(siteId, line)
    let byMinutes = 0
    for (let day = from; day <= to; day++) byMinutes += filled[day] ?? 0
    const typeId = line.facts.type.id
    const fleet = problem.fleets.find((one) => one.siteId === siteId && one.containerTypeId === typeId)
    if (!fleet) return byMinutes
    const washDays = fleet.washDays
    if (to >= (firstBack.get(JSON.stringify([siteId, typeId])) ?? Number.POSITIVE_INFINITY) + washDays) return byMinutes
    let clean = fleet.cleanNow
    for (const { on, quantity } of fleet.returns) if (instance.at(on) + washDays <= to) clean += quantity
    return Math.min(byMinutes, clean)
  }

  /** Most containers of the line's pack that the fillers of a site fill on each day. */
  function perDay(siteId: string, { facts: { pack, beer, type } }: LineFacts): number[] {
    const key = JSON.stringify([siteId, pack.id])
    const known = counts.get(key)
    if (known) return known
    const days = new Array<number>(instance.horizon).fill(0)
    for (const filler of problem.fillers) {
      const each = minutesEach(filler, type.id)
      if (filler.siteId !== siteId || each === undefined) continue
      for (const day of instance.site(siteId).fillDays) {
        const time = mostMinutes(filler, instance.dateOf(day)) - setupMinutes(filler, beer.id) + 1e-6
        if (time > 0) days[day] = days[day]! + (each > 0 ? Math.floor(time / each + 1e-9) : Number.POSITIVE_INFINITY)
      }
    }
    counts.set(key, days)
    return days
  }
}

/** For each site and container type the first day on which what the plan dispatches or stock that is emptied can be back. */
function firstBackByPlan(instance: Instance): Map<string, number> {
  const first = new Map<string, number>()
  const note = (siteId: string, typeId: string, day: number) => {
    const key = JSON.stringify([siteId, typeId])
    first.set(key, Math.min(first.get(key) ?? Number.POSITIVE_INFINITY, day))
  }
  for (const { account, facts, options } of instance.lines)
    for (const { siteId, serveOn } of options)
      note(siteId, facts.type.id, serveOn + (account.returnDays ?? Number.POSITIVE_INFINITY))
  for (const lot of instance.problem.stock)
    note(lot.siteId, instance.pack(lot.packId).type.id, Math.max(0, instance.at(lot.bestBefore) + 1))
  for (const { pack, type } of instance.packs.values())
    for (const siteId of instance.sites.keys()) note(siteId, type.id, pack.shelfLifeDays + 1)
  return first
}
