// The exact model's beer (V9): what enters a vessel on one day is drawn, dumped, transferred or left, each batch by itself. Were the
// litres of a vessel counted together, a fraction of a batch that is ready would lend its days to beer that is not.
import type { Instance } from '../bound/instance.ts'
import { each, type Term } from '../bound/linear-model.ts'
import type { Beer, Vessel } from '../documents/problem.ts'
import { grouped } from './grouped.ts'
import { LITRE_SLACK, type PricedModel } from './priced-model.ts'
import { type Arrival, type Cellar, columnsOf, type Span } from './stays.ts'

/** Litres of a beer that leave a vessel on a day through fills and set-up losses, as positive terms. */
export type Draws = (vessel: Vessel, beer: Beer, day: number) => readonly Term[]

/** Litres of a batch that are drawn on a day, as a column. */
interface DrawnOn {
  day: number
  column: number
}

/** The column of the litres that are dumped of one batch in one vessel. */
export function addDumped(model: PricedModel, { costs }: Instance): number {
  const dumped = model.rows.column()
  model.charge(dumped, 'dumped', costs.dumped)
  return dumped
}

/** Adds the balance of each batch in each vessel, and shares out what is drawn of a beer on a day among those that may be drawn. */
export function addBalances(model: PricedModel, instance: Instance, cellar: Cellar, draws: Draws): void {
  const leaving = addLeaving(model, cellar)
  for (const ofBeer of grouped(cellar.arrivals, ({ spans }) => [spans[0]!.vessel.id, spans[0]!.beer.id])) {
    const { vessel, beer } = ofBeer[0]!.spans[0]!
    const drawn = new Map(ofBeer.map((arrival): [Arrival, DrawnOn[]] => [arrival, []]))
    for (let day = 0; day < instance.horizon; day++) {
      const litres = draws(vessel, beer, day)
      if (litres.length === 0) continue
      const shares = ofBeer.flatMap((arrival) => {
        if (!arrival.spans.some(({ drawFrom, to }) => drawFrom <= day && day <= to)) return []
        const column = model.rows.column()
        drawn.get(arrival)!.push({ day, column })
        return [column]
      })
      model.rows.equal([...litres, ...each(shares, -1)], 0)
    }
    for (const arrival of ofBeer) addArrival(model, instance, arrival, drawn.get(arrival)!, leaving)
  }
}

/** Litres that leave by a transfer as a stay ends, by the stay. */
function addLeaving(model: PricedModel, { moves }: Cellar): Map<Span, number> {
  const leaving = new Map<Span, number>()
  for (const sources of new Set(moves.map((move) => move.sources))) {
    const litres = moves.filter((move) => move.sources === sources).map((move) => move.litres)
    const shares = sources.map((span) => {
      const column = model.rows.column()
      leaving.set(span, column)
      model.rows.atMost(
        [
          [column, 1],
          [span.column, -(span.most + LITRE_SLACK)],
        ],
        0,
      )
      return column
    })
    model.rows.equal([...each(litres), ...each(shares, -1)], 0)
  }
  return leaving
}

function addArrival(
  model: PricedModel,
  { horizon, costs }: Instance,
  { spans, brought, standing, dumped }: Arrival,
  drawn: readonly DrawnOn[],
  leaving: ReadonlyMap<Span, number>,
): void {
  const { from, most, vessel } = spans[0]!
  const left = model.rows.column()
  model.charge(left, 'unsold', costs.unsold)
  /** What is drawn, transferred or left after a day, for which the stay must last so long. */
  const after = (end: number) => [
    ...drawn.flatMap(({ day, column }) => (day > end ? [column] : [])),
    ...spans.flatMap((span) => (span.to > end && leaving.has(span) ? [leaving.get(span)!] : [])),
    left,
  ]
  const incoming = brought.map(([column, litres]): Term => [column, -litres])
  model.rows.row([...each([...after(-1), dumped]), ...incoming], standing, standing + LITRE_SLACK)
  const ends = [...new Set([...spans.map(({ to }) => to), horizon - 1])].filter((end) => end < horizon)
  for (const end of ends) {
    const longer = spans.filter(({ to }) => to > end)
    model.rows.atMost([...each(after(end)), ...each(columnsOf(longer), -(most + LITRE_SLACK))], 0)
  }
  // T4: dumping comes before a transfer and before the draws from a bright vessel.
  if (vessel.kind === 'BRIGHT' && !spans[0]!.standing) {
    const lasting = spans.filter(({ to }) => Math.min(to, horizon - 1) > from)
    model.rows.atMost([[dumped, 1], ...each(columnsOf(lasting), -(most + LITRE_SLACK))], 0)
  }
}
