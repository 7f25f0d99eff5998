// The exact model's transfers into bright vessels (V6, V11), and the stays that they begin.
import type { Instance } from '../bound/instance.ts'
import { each, type Term } from '../bound/linear-model.ts'
import { mostTransfers } from '../documents/day-limits.ts'
import type { Beer, Vessel } from '../documents/problem.ts'
import { addDumped } from './balances.ts'
import { grouped } from './grouped.ts'
import type { InForce } from './in-force.ts'
import { addRange, LITRE_SLACK, type PricedModel } from './priced-model.ts'
import { addThere, type Cellar, columnsOf, type Move, mayStand, type Span } from './stays.ts'

/** V6: transfers, and the stays in bright vessels that they begin. */
export function addTransfers(model: PricedModel, instance: Instance, cellar: Cellar, inForce: InForce): void {
  const vessels = (kind: Vessel['kind']) => instance.problem.vessels.filter((vessel) => vessel.kind === kind)
  for (const from of vessels('FERMENTER')) {
    const fillDays = new Set(instance.site(from.siteId).fillDays)
    const leaving = cellar.spans.get(from)!.filter(({ to, drawFrom }) => fillDays.has(to) && drawFrom <= to)
    // Stays that end on the same day with the same beer and the same days left for priming are one source.
    for (const ending of grouped(leaving, (span) => [span.beer.id, span.to, primingLeft(instance, span)])) {
      const source = ending[0]!
      const { beer, to: day } = source
      const moves = vessels('BRIGHT')
        .filter((to) => to.siteId === from.siteId && brightEnds(instance, inForce, beer, to, day).length > 0)
        .map(
          (to): Move => ({
            source,
            sources: ending,
            to,
            day,
            chosen: model.rows.binary(),
            litres: model.rows.column(),
          }),
        )
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
    const spans = brightEnds(instance, inForce, beer, vessel, day).map(
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
    const there = addThere(model, spans)
    const chosen = moves.map((move) => move.chosen)
    model.rows.equal([...each([there]), ...each(chosen, -1)], 0)
    cellar.spans.get(vessel)!.push(...spans)
    if (spans.length === 0) continue
    const brought = moves.map((move): Term => [move.litres, 1])
    cellar.arrivals.push({ spans, brought, standing: 0, dumped: addDumped(model, instance) })
  }
}

/** The days on which a bright vessel that is entered on `day` can be empty again (V5); the horizon's length: later. */
function brightEnds(instance: Instance, inForce: InForce, beer: Beer, vessel: Vessel, day: number): number[] {
  const drawFrom = day + beer.brightDays
  const limit = drawFrom + beer.maxBrightDays
  const ends = new Set<number>()
  if (beer.packs.some((pack) => pack.drawFrom === 'BRIGHT')) {
    for (const to of instance.site(vessel.siteId).fillDays) if (drawFrom <= to && to <= limit) ends.add(to)
    // What is left after draws on the day of transfer can be dumped on the next day, but not on that day (T4).
    if (beer.brightDays === 0 && day + 1 <= Math.min(limit, instance.horizon - 1)) ends.add(day + 1)
  }
  // Where the plan in force has a transfer, it may stay though nothing is drawn.
  const decided = inForce.transfers.some((one) => one.day === day && one.decision.toVesselId === vessel.id)
  if (decided && day + 1 < instance.horizon) ends.add(day + 1)
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
