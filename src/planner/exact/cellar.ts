// The exact model's vessels: which beer stands where from which day to which day (V1 to V5), and the litres in them.
// One 0-or-1 column for each vessel, beer, first day and last day.
import { emptyBy, type Instance, readyAfterBrew, readyDayOfBatch } from '../bound/instance.ts'
import { each, type Term } from '../bound/linear-model.ts'
import { mostBrews } from '../documents/day-limits.ts'
import type { Batch, Vessel } from '../documents/problem.ts'
import { addDumped } from './balances.ts'
import { brewDaysOf } from './brew-days.ts'
import { grouped } from './grouped.ts'
import type { InForce } from './in-force.ts'
import { addRange, LITRE_SLACK, type PricedModel } from './priced-model.ts'
import { addThere, type Cellar, columnsOf, mayStand, type Span } from './stays.ts'
import { addTransfers } from './transfers.ts'

/** Adds the vessels to the model. What becomes of their beer follows when the fills are known: `addBalances`. */
export function addCellar(model: PricedModel, instance: Instance, inForce: InForce): Cellar {
  const cellar: Cellar = {
    spans: new Map(instance.problem.vessels.map((vessel) => [vessel, []])),
    brews: [],
    moves: [],
    arrivals: [],
  }
  for (const batch of instance.problem.batches) addStanding(model, instance, cellar, batch)
  for (const vessel of instance.problem.vessels)
    if (vessel.kind === 'FERMENTER') addBrews(model, instance, cellar, vessel, inForce)
  addCounts(model, cellar)
  addTransfers(model, instance, cellar, inForce)
  for (const [vessel, spans] of cellar.spans) {
    // V3: at most one batch at a time, turnaround included.
    for (let day = 0; day < instance.horizon; day++) {
      const here = spans.filter((span) => span.from <= day && day <= span.to + vessel.turnaroundDays)
      if (here.length > 1) model.rows.atMost(each(columnsOf(here)), 1)
    }
  }
  addBrewhouses(model, instance, cellar)
  return cellar
}

function addStanding(model: PricedModel, instance: Instance, cellar: Cellar, batch: Batch): void {
  const { horizon } = instance
  const vessel = instance.vessel(batch.vesselId)
  const beer = instance.beers.get(batch.beerId)!
  const ready = readyDayOfBatch(instance, batch)
  const limit = emptyBy(instance, batch)
  const drawFrom = batch.quarantined
    ? Number.POSITIVE_INFINITY
    : Math.max(0, batch.transferredOn === undefined ? ready : instance.at(batch.transferredOn) + beer.brightDays)
  const { fillDays } = instance.site(vessel.siteId)
  const ends = [0, ...fillDays.filter((day) => day > 0 && day >= drawFrom && day <= limit)]
  if (limit >= horizon) ends.push(horizon)
  const spans = ends.map(
    (to): Span => ({
      column: model.rows.binary(),
      vessel,
      beer,
      from: 0,
      to,
      drawFrom,
      ready,
      primable: batch.primable,
      most: batch.litres,
      standing: batch,
      ...(batch.openedOn === undefined ? {} : { openedOn: instance.at(batch.openedOn) }),
    }),
  )
  model.rows.equal(each(columnsOf(spans)), 1)
  cellar.spans.get(vessel)!.push(...spans)
  cellar.arrivals.push({ spans, brought: [], standing: batch.litres, dumped: addDumped(model, instance) })
}

function addBrews(model: PricedModel, instance: Instance, cellar: Cellar, vessel: Vessel, inForce: InForce): void {
  const { horizon, problem } = instance
  const { site, fillDays } = instance.site(vessel.siteId)
  const wanted = new Set(instance.lines.map(({ facts }) => facts.beer.id))
  for (const { decision } of inForce.brews) wanted.add(decision.beerId)
  for (const { decision } of inForce.runs) wanted.add(instance.pack(decision.packId).beer.id)
  for (const beer of problem.beers) {
    if (beer.vesselIds && !beer.vesselIds.includes(vessel.id)) continue
    // A brew of a beer without orders can be left out of any plan, and the plan gets better; unless that is churn.
    if (!wanted.has(beer.id)) continue
    const readyAfter = readyAfterBrew(site, beer)
    for (const day of brewDaysOf(instance, site.id, beer)) {
      const ready = day + readyAfter
      const limit = ready + beer.maxTankDays
      const ends = fillDays.filter((to) => to >= ready && to <= limit)
      // One that is there for the plan in force alone may be of no use: dumped at once, or ready too late.
      const decided = inForce.brews.some(
        (one) => one.day === day && one.decision.beerId === beer.id && one.decision.vesselId === vessel.id,
      )
      if (limit >= horizon && (ready < horizon || decided)) ends.push(horizon)
      if (decided) ends.push(day)
      const possible = [...new Set(ends)].filter((to) => mayStand(instance, vessel, day, to))
      if (possible.length === 0) continue
      const most = vessel.capacityLitres * (1 - beer.lossFraction) + LITRE_SLACK
      const spans = possible.map((to): Span => {
        const column = model.rows.binary()
        return { column, vessel, beer, from: day, to, drawFrom: ready, ready, primable: true, most }
      })
      const litres = model.rows.column()
      const there = addThere(model, spans)
      addRange(model, litres, [there], vessel.minFillLitres, vessel.capacityLitres)
      cellar.brews.push({ vessel, beer, day, spans, there, litres })
      cellar.spans.get(vessel)!.push(...spans)
      const brought: Term[] = [[litres, 1 - beer.lossFraction]]
      cellar.arrivals.push({ spans, brought, standing: 0, dumped: addDumped(model, instance) })
    }
  }
}

/** Batches of each beer and site, a whole number: the solver decides sooner on how many than on days and vessels. */
function addCounts(model: PricedModel, cellar: Cellar): void {
  for (const starts of grouped(cellar.brews, ({ beer, vessel }) => [beer.id, vessel.siteId])) {
    const count = model.rows.column({ whole: true })
    model.rows.equal([...each(starts.map(({ there }) => there)), [count, -1]], 0)
  }
}

/** V1: whole brews, at most so many a day at a site. */
function addBrewhouses(model: PricedModel, instance: Instance, cellar: Cellar): void {
  const days = grouped(cellar.brews, ({ vessel, day }) => [vessel.siteId, day])
  for (const starts of days) {
    const { vessel, day } = starts[0]!
    const { site } = instance.site(vessel.siteId)
    const counts = starts.map(({ there, litres }) => {
      const brews = model.rows.column({ whole: true })
      model.charge(brews, 'brew', instance.costs.brew)
      model.rows.atMost(
        [
          [there, 1],
          [brews, -1],
        ],
        0,
      )
      if (site.brewLitres !== undefined)
        model.rows.atMost(
          [
            [litres, 1],
            [brews, -site.brewLitres],
          ],
          LITRE_SLACK,
        )
      return brews
    })
    model.rows.atMost(each(counts), mostBrews(site, instance.dateOf(day)))
  }
}
