// The exact model's vessels: which beer stands where from which day to which day (V1 to V6, V11), and the litres in them.
// One 0-or-1 column for each vessel, beer, first day and last day.
import { emptyBy, type Instance, readyAfterBrew, readyDayOfBatch } from '../bound/instance.ts'
import { each, type Term } from '../bound/linear-model.ts'
import { mostBrews, mostTransfers } from '../documents/day-limits.ts'
import type { Batch, Beer, Vessel } from '../documents/problem.ts'
import { grouped } from './grouped.ts'
import { addRange, LITRE_SLACK, type PricedModel } from './priced-model.ts'

/** A stay of one batch in one vessel, both days included; 1 in the model where it is in the plan. */
export interface Span {
  column: number
  vessel: Vessel
  beer: Beer
  from: number
  /** Day on which the vessel is empty again; the horizon's length where the beer stays beyond it. */
  to: number
  /** First day on which packs may be drawn from this vessel (V4). */
  drawFrom: number
  /** The batch's ready day, and whether it has live yeast (V7). */
  ready: number
  primable: boolean
  /** Most litres that can be drawn in this stay. */
  most: number
  /** The batch, where it stands already. */
  standing?: Batch
  /** First draw from this vessel, where it lies before today (V10). */
  openedOn?: number
}

export interface BrewStart {
  vessel: Vessel
  beer: Beer
  day: number
  spans: Span[]
  litres: number
}

/** A transfer into a bright vessel; the columns say whether, and how many litres. */
export interface Move {
  /** One of the stays that it may end: those with this vessel, beer, last day and days left for priming. */
  source: Span
  to: Vessel
  day: number
  chosen: number
  litres: number
}

export interface Cellar {
  spans: Map<Vessel, Span[]>
  brews: BrewStart[]
  moves: Move[]
  /** Drawable litres that a day's brews and transfers bring (positive) and take (negative), without draws and dumping. */
  flows: (vessel: Vessel, day: number) => Term[]
  /** Dumped litres and litres left at the end of the day, one column a day. */
  dumped: Map<Vessel, number[]>
  held: Map<Vessel, number[]>
}

/** Adds the vessels to the model. Draws are subtracted later: see `addBalances`. */
export function addCellar(model: PricedModel, instance: Instance): Cellar {
  const cellar: Cellar = {
    spans: new Map(instance.problem.vessels.map((vessel) => [vessel, []])),
    brews: [],
    moves: [],
    flows: (vessel, day) => [
      ...cellar.brews
        .filter((brew) => brew.vessel === vessel && brew.day === day)
        .map((brew): Term => [brew.litres, 1 - brew.beer.lossFraction]),
      ...cellar.moves.filter((move) => move.to === vessel && move.day === day).map((move): Term => [move.litres, 1]),
      ...cellar.moves
        .filter((move) => move.source.vessel === vessel && move.day === day)
        .map((move): Term => [move.litres, -1]),
    ],
    dumped: new Map(),
    held: new Map(),
  }
  for (const batch of instance.problem.batches) addStanding(model, instance, cellar, batch)
  for (const vessel of instance.problem.vessels)
    if (vessel.kind === 'FERMENTER') addBrews(model, instance, cellar, vessel)
  addTransfers(model, instance, cellar)
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

/** Adds the litres in each vessel day by day (V9), with what is drawn as negative terms of `draws`. */
export function addBalances(
  model: PricedModel,
  instance: Instance,
  cellar: Cellar,
  draws: (vessel: Vessel, day: number) => Term[],
): void {
  const { horizon, costs, problem } = instance
  for (const [vessel, spans] of cellar.spans) {
    const standing = problem.batches.find((batch) => batch.vesselId === vessel.id)
    const held: number[] = []
    const dumped: number[] = []
    for (let day = 0; day < horizon; day++) {
      held.push(model.rows.column({ lower: -LITRE_SLACK }))
      dumped.push(model.rows.column())
      model.charge(dumped[day]!, 'dumped', costs.dumped)
      const inside = spans.filter((span) => span.from <= day && day < span.to)
      model.rows.atMost([[held[day]!, 1], ...inside.map((span): Term => [span.column, -span.most])], 0)
      const before: Term[] = day > 0 ? [[held[day - 1]!, -1]] : []
      const balance: Term[] = [[held[day]!, 1], ...before, [dumped[day]!, 1]]
      for (const [column, litres] of [...cellar.flows(vessel, day), ...draws(vessel, day)])
        balance.push([column, -litres])
      const start = day === 0 ? (standing?.litres ?? 0) : 0
      model.rows.equal(balance, start)
      // T4: dumping comes before a transfer and before the draws from a bright vessel.
      if (vessel.kind === 'BRIGHT') model.rows.atMost([[dumped[day]!, 1], ...before], start)
    }
    model.charge(held[horizon - 1]!, 'unsold', costs.unsold)
    cellar.held.set(vessel, held)
    cellar.dumped.set(vessel, dumped)
  }
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
}

function addBrews(model: PricedModel, instance: Instance, cellar: Cellar, vessel: Vessel): void {
  const { horizon, problem } = instance
  const { site, brewDays, fillDays } = instance.site(vessel.siteId)
  const wanted = new Set(instance.lines.map(({ facts }) => facts.beer))
  for (const beer of problem.beers) {
    if (beer.vesselIds && !beer.vesselIds.includes(vessel.id)) continue
    // A brew of a beer without orders can be left out of any plan, and the plan gets better.
    if (!wanted.has(beer)) continue
    const readyAfter = readyAfterBrew(site, beer)
    for (const day of brewDays) {
      const ready = day + readyAfter
      const limit = ready + beer.maxTankDays
      const ends = fillDays.filter((to) => to >= ready && to <= limit)
      if (limit >= horizon && ready < horizon) ends.push(horizon)
      const possible = ends.filter((to) => mayStand(instance, vessel, day, to))
      if (possible.length === 0) continue
      const most = vessel.capacityLitres * (1 - beer.lossFraction) + LITRE_SLACK
      const spans = possible.map((to): Span => {
        const column = model.rows.binary()
        return { column, vessel, beer, from: day, to, drawFrom: ready, ready, primable: true, most }
      })
      const litres = model.rows.column()
      addRange(model, litres, columnsOf(spans), vessel.minFillLitres, vessel.capacityLitres)
      cellar.brews.push({ vessel, beer, day, spans, litres })
      cellar.spans.get(vessel)!.push(...spans)
    }
  }
}

/** V1: whole brews, at most so many a day at a site. */
function addBrewhouses(model: PricedModel, instance: Instance, cellar: Cellar): void {
  const days = grouped(cellar.brews, ({ vessel, day }) => [vessel.siteId, day])
  for (const starts of days) {
    const { vessel, day } = starts[0]!
    const { site } = instance.site(vessel.siteId)
    const counts = starts.map(({ spans, litres }) => {
      const brews = model.rows.column({ whole: true })
      model.charge(brews, 'brew', instance.costs.brew)
      model.rows.atMost([[brews, -1], ...each(columnsOf(spans))], 0)
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

/** V6: transfers, and the stays in bright vessels that they begin. */
function addTransfers(model: PricedModel, instance: Instance, cellar: Cellar): void {
  const vessels = (kind: Vessel['kind']) => instance.problem.vessels.filter((vessel) => vessel.kind === kind)
  for (const from of vessels('FERMENTER')) {
    const fillDays = new Set(instance.site(from.siteId).fillDays)
    const leaving = cellar.spans.get(from)!.filter(({ to, drawFrom }) => fillDays.has(to) && drawFrom <= to)
    // Stays that end on the same day with the same beer and the same days left for priming are one source.
    for (const ending of grouped(leaving, (span) => [span.beer.id, span.to, primingLeft(instance, span)])) {
      const source = ending[0]!
      const { beer, to: day } = source
      const moves = vessels('BRIGHT')
        .filter((to) => to.siteId === from.siteId && brightEnds(instance, beer, to, day).length > 0)
        .map((to): Move => ({ source, to, day, chosen: model.rows.binary(), litres: model.rows.column() }))
      for (const { chosen, litres, to } of moves) addRange(model, litres, [chosen], to.minFillLitres, to.capacityLitres)
      // Once per batch, and only on the day on which it leaves its fermenter.
      model.rows.atMost([...each(moves.map((move) => move.chosen)), ...each(columnsOf(ending), -1)], 0)
      cellar.moves.push(...moves)
    }
  }
  // V11: so many transfers a day at a site.
  for (const started of grouped(cellar.moves, ({ to, day }) => [to.siteId, day])) {
    const { to, day } = started[0]!
    const most = mostTransfers(instance.site(to.siteId).site, instance.dateOf(day))
    if (Number.isFinite(most)) model.rows.atMost(each(started.map((move) => move.chosen)), most)
  }
  const arrivals = grouped(cellar.moves, ({ source, to, day }) => [
    to.id,
    source.beer.id,
    day,
    primingLeft(instance, source),
  ])
  for (const moves of arrivals) {
    const { to: vessel, source, day } = moves[0]!
    const { beer, ready, primable } = source
    const spans = brightEnds(instance, beer, vessel, day).map(
      (to): Span => ({
        column: model.rows.binary(),
        vessel,
        beer,
        from: day,
        to,
        drawFrom: day + beer.brightDays,
        ready,
        primable,
        most: vessel.capacityLitres + LITRE_SLACK,
      }),
    )
    const chosen = moves.map((move) => move.chosen)
    model.rows.equal([...each(columnsOf(spans)), ...each(chosen, -1)], 0)
    cellar.spans.get(vessel)!.push(...spans)
  }
}

/** The days on which a bright vessel that is entered on `day` can be empty again (V5); the horizon's length: later. */
function brightEnds(instance: Instance, beer: Beer, vessel: Vessel, day: number): number[] {
  const drawFrom = day + beer.brightDays
  const limit = drawFrom + beer.maxBrightDays
  const ends = new Set<number>()
  if (beer.packs.some((pack) => pack.drawFrom === 'BRIGHT')) {
    for (const to of instance.site(vessel.siteId).fillDays) if (drawFrom <= to && to <= limit) ends.add(to)
    // What is left after draws on the day of transfer can be dumped on the next day, but not on that day (T4).
    if (beer.brightDays === 0 && day + 1 <= Math.min(limit, instance.horizon - 1)) ends.add(day + 1)
  }
  if (limit >= instance.horizon) ends.add(instance.horizon)
  return [...ends].filter((to) => mayStand(instance, vessel, day, to))
}

/** Until when each primed pack of the bright vessel may still be drawn from a batch that is transferred as its stay ends. */
function primingLeft(instance: Instance, { beer, ready, primable, to }: Span): string {
  const lastDays = beer.packs
    .filter((pack) => pack.primed && pack.drawFrom === 'BRIGHT')
    .map((pack) => {
      const last = primable ? Math.min(ready + (pack.primingWindowDays ?? instance.horizon), instance.horizon) : -1
      return last < to + beer.brightDays ? -1 : last
    })
  return JSON.stringify(lastDays)
}

/** V3: nothing planned enters a vessel before it is available, or stands in it while it is out of service. */
function mayStand(instance: Instance, vessel: Vessel, from: number, to: number): boolean {
  if (vessel.availableFrom !== undefined && from < instance.at(vessel.availableFrom)) return false
  const last = Math.min(to, instance.horizon - 1)
  return !vessel.outOfService.some((out) => instance.at(out.from) <= last && from <= instance.at(out.to))
}

/** The columns of stays. */
export function columnsOf(spans: readonly Span[]): number[] {
  return spans.map((span) => span.column)
}
