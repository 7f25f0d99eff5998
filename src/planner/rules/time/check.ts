// T1 and T2: nothing is drawn before its stages are over, and everything happens on a working day. T5: on a day of
// the horizon.
import type { BatchFacts } from '../../facts/cellar.ts'
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** T1: no fill from a fermenter and no transfer before the batch's ready day, counted in wall-clock hours of its site. */
export function readyDays(facts: Facts): Violation[] {
  const found: Violation[] = []
  const early = (day: number, ready: number, what: string, ...ids: string[]) =>
    found.push(violationOn(day, facts, 'T1', `${what} is before the ready day ${facts.dateOf(ready)}`, ...ids))
  // What is to be said is put together only where it has to be said: that takes longer than to look.
  for (const { day, batch, run, stay } of facts.runs)
    if (stay.in === 'FERMENTER' && day < batch.readyDay)
      early(day, batch.readyDay, `run "${run.id}" of batch "${batch.id}"`, run.id, batch.id)
  for (const { id, readyDay, transfer } of facts.batches.values())
    if (transfer && transfer.day < readyDay)
      early(transfer.day, readyDay, `the transfer of batch "${id}"`, transfer.transfer.id, id)
  return found
}

/** T2: brews on brew days, fills and transfers on fill days, dispatches on route days, arrivals when the account receives. */
export function workingDays(facts: Facts): Violation[] {
  const found: Violation[] = []
  const idle = (day: number, message: string, ...ids: string[]) =>
    found.push(violationOn(day, facts, 'T2', message, ...ids))
  for (const batch of facts.batches.values()) {
    if (batch.brew) {
      const day = facts.dayOf(batch.brew.brewOn)
      if (!batch.site.brewsOn(day)) idle(day, `site "${batch.site.site.id}" does not brew on that day`, batch.id)
    }
    for (const transfer of allTransfers(batch)) {
      const day = facts.dayOf(transfer.on)
      if (!batch.site.fillsOn(day)) idle(day, `site "${batch.site.site.id}" does not transfer on that day`, transfer.id)
    }
  }
  for (const { run, day, batch } of facts.runs)
    if (!batch.site.fillsOn(day)) idle(day, `site "${batch.site.site.id}" does not fill on that day`, run.id)
  for (const { line, account, route, dispatch, arrival } of facts.deliveries) {
    const runs = facts.routes.get(route.id)?.dispatchesOn(dispatch) ?? false
    if (!runs) idle(dispatch, `route "${route.id}" does not leave on that day`, line.id, route.id)
    const receives = account.receivesWeekdays.includes(facts.weekdayOf(arrival))
    if (!receives) idle(arrival, `account "${account.id}" does not receive on that day`, line.id, account.id)
  }
  return found
}

/** T5: brews, transfers, fills, dumping, dispatches and serves lie on days of the horizon. */
export function horizonDays(facts: Facts): Violation[] {
  const rule = 'T5'
  const found: Violation[] = []
  const outside = (day: number, what: string, ...ids: string[]) =>
    found.push(violationOn(day, facts, rule, `${what} lies outside the horizon`, ...ids))
  const isOutside = (day: number) => !facts.inHorizon(day)
  for (const batch of facts.batches.values()) {
    const brewDay = batch.brew && facts.dayOf(batch.brew.brewOn)
    if (brewDay !== undefined && isOutside(brewDay)) outside(brewDay, `brew "${batch.id}"`, batch.id)
    for (const { id, on } of allTransfers(batch)) {
      const day = facts.dayOf(on)
      if (isOutside(day)) outside(day, `transfer "${id}"`, id)
    }
    for (const { dumps } of batch.stays)
      for (const { day } of dumps) if (isOutside(day)) outside(day, 'dumping', batch.id)
  }
  for (const { run, day } of facts.runs) if (isOutside(day)) outside(day, `run "${run.id}"`, run.id)
  for (const { line, dispatch, serve } of facts.deliveries) {
    if (isOutside(dispatch)) outside(dispatch, `the dispatch for line "${line.id}"`, line.id)
    if (isOutside(serve)) outside(serve, `the serve day of line "${line.id}"`, line.id)
  }
  return found
}

function allTransfers(batch: BatchFacts) {
  return batch.transfer ? [batch.transfer.transfer, ...batch.furtherTransfers] : batch.furtherTransfers
}
