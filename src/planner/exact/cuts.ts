// Rows of the exact model that change no plan: they follow from the others, but only in whole numbers. In fractions they leave the
// solver less to try.
import type { Instance } from '../bound/instance.ts'
import { each, type Term } from '../bound/linear-model.ts'
import { mostMinutes } from '../documents/day-limits.ts'
import { minutesEach, setupMinutes } from '../documents/filling-minutes.ts'
import type { Fill } from './filling.ts'
import { grouped } from './grouped.ts'
import { LITRE_SLACK, type PricedModel } from './priced-model.ts'
import type { ContainerGroup, Delivery } from './serving.ts'
import { type Cellar, columnsOf, type Span } from './stays.ts'
import { mostOfWhole } from './whole-sums.ts'

interface Parts {
  model: PricedModel
  instance: Instance
  cellar: Cellar
  fills: readonly Fill[]
  deliveries: readonly Delivery[]
}

/** Adds all of them. */
export function addCuts({ model, instance, cellar, fills, deliveries }: Parts): void {
  for (const ofSetup of grouped(fills, ({ setups }) => setups))
    if (ofSetup.length > 1) addSharesOfSetup(model, instance, cellar, ofSetup)
  for (const ofLine of grouped(deliveries, ({ line }) => [line.line.id])) {
    addSetupsOf(model, ofLine)
    if (!ofLine[0]!.line.line.splittable) addStaysOf(model, ofLine, cellar)
  }
}

/** The packs that one set-up serves share its filler's minutes and its vessel's beer: each alone could have all of them. */
function addSharesOfSetup(model: PricedModel, instance: Instance, cellar: Cellar, fills: readonly Fill[]): void {
  const { filler, vessel, day, facts, setups } = fills[0]!
  const time = mostMinutes(filler, instance.dateOf(day)) - setupMinutes(filler, facts.beer.id)
  const open = cellar.spans.get(vessel)!.filter((span) => span.beer === facts.beer && isDrawn(span, day))
  const litres = Math.max(...open.map(({ most }) => most)) + LITRE_SLACK
  const share = (limit: number, useOf: (fill: Fill) => number) => {
    const uses = fills.map((fill): Term => [fill.column, useOf(fill)])
    const most = mostOfWhole(
      limit,
      uses.map(([, use]) => use),
      'OFTEN',
    )
    model.rows.atMost([...uses, ...each(setups, -most)], 0)
  }
  share(time, (fill) => minutesEach(filler, fill.facts.type.id) ?? 0)
  share(litres, (fill) => fill.facts.drawn)
}

/** What a line takes of a day's fills has a set-up of that day: each line bears its share of it. */
function addSetupsOf(model: PricedModel, deliveries: readonly Delivery[]): void {
  const { quantity } = deliveries[0]!.line.line
  const taken = new Map<ContainerGroup, number[]>()
  for (const { source, column } of deliveries.flatMap(({ takes }) => takes))
    if (source.fills.length > 0) taken.set(source, [...(taken.get(source) ?? []), column])
  for (const [{ fills }, columns] of taken) {
    const setups = new Set(fills.flatMap((fill) => fill.setups))
    model.rows.atMost([...each(columns), ...each(setups, -quantity)], 0)
  }
}

/**
 * A line that is dispatched by some day, and not from stock alone, has a batch whose stay in some vessel lets it be filled by then: one
 * half of a line from half a batch on one day and the other half on the next are no whole batch.
 */
function addStaysOf(model: PricedModel, deliveries: readonly Delivery[], cellar: Cellar): void {
  const { line, facts } = deliveries[0]!.line
  const inOrder = [...deliveries].sort((a, b) => a.option.dispatchOn - b.option.dispatchOn)
  const rows = new Map<string, { chosen: number[]; stays: number[] }>()
  for (const index of inOrder.keys()) {
    const early = inOrder.slice(0, index + 1)
    const sources = [...new Set(early.flatMap(({ takes }) => takes.map(({ source }) => source)))]
    if (sources.reduce((sum, { lot }) => sum + (lot?.quantity ?? 0), 0) >= line.quantity) break
    const fills = sources.flatMap((source) => source.fills)
    const vessels = [...new Set(fills.map(({ vessel }) => vessel))]
    const stays = vessels.flatMap((vessel) => {
      const days = fills.flatMap((fill) => (fill.vessel === vessel ? [fill.day] : []))
      const all = cellar.spans.get(vessel)!.filter(({ beer }) => beer === facts.beer)
      return all.filter((span) => days.some((day) => isDrawn(span, day)))
    })
    const columns = columnsOf(stays)
    // Of rows with the same stays the last says most.
    rows.set(columns.join(), { chosen: early.map(({ chosen }) => chosen), stays: columns })
  }
  for (const { chosen, stays } of rows.values()) model.rows.atMost([...each(chosen), ...each(stays, -1)], 0)
}

function isDrawn({ drawFrom, to }: Span, day: number): boolean {
  return drawFrom <= day && day <= to
}
