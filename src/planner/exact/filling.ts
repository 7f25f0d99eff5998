// The exact model's fills: whole containers by vessel, filler, day and pack, with their set-ups (V4, V7, V10, L1 to L4).
import { type Instance, mayPrime, type PackFacts } from '../bound/instance.ts'
import { each, type Term } from '../bound/linear-model.ts'
import { mostMinutes } from '../documents/day-limits.ts'
import { minutesEach, setupMinutes } from '../documents/filling-minutes.ts'
import type { Beer, ContainerType, Filler, Vessel } from '../documents/problem.ts'
import { MINUTE_TOLERANCE } from '../documents/tolerances.ts'
import type { Draws } from './balances.ts'
import { grouped } from './grouped.ts'
import { LITRE_SLACK, type PricedModel } from './priced-model.ts'
import { type Cellar, columnsOf, type Span } from './stays.ts'

/** Containers of a pack that a filler draws from a vessel on a day. */
export interface Fill {
  vessel: Vessel
  filler: Filler
  day: number
  facts: PackFacts
  column: number
  /** Most containers. */
  limit: number
  /** Set-ups, one of which it needs. */
  setups: number[]
}

/** A set-up; with `shared`, one that a bright vessel has from the fermenter that was emptied into it that day. */
interface Setup {
  vessel: Vessel
  beer: Beer
  kind: ContainerType['kind']
  filler: Filler
  day: number
  column: number
  shared: boolean
}

export interface Filling {
  fills: Fill[]
  setups: Setup[]
  draws: Draws
}

/** Adds fills and set-ups, the fillers' minutes, and the limits on when a vessel may be drawn from. */
export function addFilling(model: PricedModel, instance: Instance, cellar: Cellar): Filling {
  const fills: Fill[] = []
  const setups: Setup[] = []
  for (const filler of instance.problem.fillers) {
    for (const day of instance.site(filler.siteId).fillDays) {
      const minutes = mostMinutes(filler, instance.dateOf(day))
      const here = instance.problem.vessels
        .filter((vessel) => vessel.siteId === filler.siteId)
        // Fermenters first: a set-up of theirs may serve a bright vessel, too.
        .sort((a, b) => Number(a.kind === 'BRIGHT') - Number(b.kind === 'BRIGHT'))
        .flatMap((vessel) => addDraws(model, instance, { cellar, setups }, { filler, vessel, day, minutes }))
      fills.push(...here)
      const used = setups.filter((setup) => !setup.shared && setup.filler === filler && setup.day === day)
      model.rows.atMost(
        [
          ...here.map(({ column, facts }): Term => [column, minutesEach(filler, facts.type.id) ?? 0]),
          ...used.map(({ column, beer }): Term => [column, setupMinutes(filler, beer.id)]),
          ...addWashing(model, filler, used),
        ],
        minutes,
      )
      addMostSetups(model, filler, { minutes, setups: used, fills: here })
    }
  }
  addOpenings(model, instance, cellar, setups)
  const drawn = new Map<string, Term[]>()
  const keyOf = (vessel: Vessel, beer: Beer, day: number) => JSON.stringify([vessel.id, beer.id, day])
  const draw = (key: string, term: Term) => drawn.set(key, [...(drawn.get(key) ?? []), term])
  for (const { vessel, day, column, facts } of fills) draw(keyOf(vessel, facts.beer, day), [column, facts.drawn])
  for (const { vessel, beer, day, column, filler, shared } of setups)
    if (!shared) draw(keyOf(vessel, beer, day), [column, filler.setupLossLitres])
  return { fills, setups, draws: (vessel, beer, day) => drawn.get(keyOf(vessel, beer, day)) ?? [] }
}

/** Set-ups for which a day has minutes, with a container each at least: in fractions it has some for all of them. */
function addMostSetups(
  model: PricedModel,
  filler: Filler,
  { minutes, setups, fills }: { minutes: number; setups: readonly Setup[]; fills: readonly Fill[] },
): void {
  const needed = setups.map(({ beer }) => {
    const own = fills.filter(({ facts }) => facts.beer === beer)
    const least = Math.min(...own.map(({ facts }) => minutesEach(filler, facts.type.id) ?? 0))
    return setupMinutes(filler, beer.id) + least
  })
  needed.sort((a, b) => a - b)
  let most = 0
  let left = minutes + MINUTE_TOLERANCE
  for (const one of needed) {
    left -= one
    if (left >= 0) most++
  }
  if (most < setups.length) model.rows.atMost(each(setups.map(({ column }) => column)), most)
}

/** L4: minutes of washing between the groups that a filler draws on a day, from its set-ups. */
function addWashing(model: PricedModel, { washMinutes }: Filler, setups: readonly Setup[]): Term[] {
  const groups = grouped(setups, ({ beer }) => [JSON.stringify(beer.washGroup ?? null)])
  if (washMinutes === 0 || groups.length < 2) return []
  const drawn = groups.map((ofGroup) => {
    const column = model.rows.column({ upper: 1 })
    for (const setup of ofGroup)
      model.rows.atMost(
        [
          [setup.column, 1],
          [column, -1],
        ],
        0,
      )
    return column
  })
  const washes = model.rows.column()
  model.rows.atMost([...each(drawn), [washes, -1]], 1)
  return [[washes, washMinutes]]
}

interface Draw {
  filler: Filler
  vessel: Vessel
  day: number
  minutes: number
}

/** Fills and set-ups of one filler, vessel and day. */
function addDraws(
  model: PricedModel,
  instance: Instance,
  { cellar, setups }: { cellar: Cellar; setups: Setup[] },
  { filler, vessel, day, minutes }: Draw,
): Fill[] {
  const fills: Fill[] = []
  const open = cellar.spans
    .get(vessel)!
    .filter((span) => span.drawFrom <= day && day <= span.to && day <= lastDraw(span))
  for (const spans of grouped(open, (span) => [span.beer.id])) {
    const beer = spans[0]!.beer
    const packs = beer.packs
      .filter((pack) => pack.drawFrom === vessel.kind)
      .map((pack) => instance.pack(pack.id))
      .map((facts) => ({ facts, from: spans.filter((span) => mayPrime(facts.pack, span, day)) }))
      .map((draw) => ({ ...draw, limit: mostContainers(instance, filler, minutes, draw) }))
      .filter(({ from, limit }) => from.length > 0 && limit > 0)
    for (const draws of grouped(packs, ({ facts }) => [facts.type.kind])) {
      const kind = draws[0]!.facts.type.kind
      const setup: Setup = { vessel, beer, kind, filler, day, column: model.rows.binary(), shared: false }
      model.charge(setup.column, 'setup', instance.costs.setup * beer.setupWeight)
      model.charge(setup.column, 'dumped', instance.costs.dumped * filler.setupLossLitres)
      const all = [setup, ...addSharedSetups(model, cellar, setups, setup)]
      const allowed = all.map(({ column }) => column)
      setups.push(...all)
      model.rows.atMost([[setup.column, 1], ...each(columnsOf(spans), -1)], 0)
      for (const { facts, from, limit } of draws) {
        const column = model.rows.column({ upper: limit, whole: true })
        fills.push({ vessel, filler, day, facts, column, limit, setups: allowed })
        model.rows.atMost([[column, 1], ...each(allowed, -limit)], 0)
        // Where another stay of the beer could hold the vessel that day, but its yeast is spent (V7), or the set-up
        // is another vessel's.
        if (from.length < spans.length || allowed.length > 1)
          model.rows.atMost([[column, 1], ...each(columnsOf(from), -limit)], 0)
      }
    }
  }
  return fills

  /** V10 for a vessel that was opened before today. */
  function lastDraw(span: Span): number {
    return (span.openedOn ?? Number.POSITIVE_INFINITY) + (span.beer.maxOpenDays ?? Number.POSITIVE_INFINITY)
  }
}

/**
 * A batch that is transferred is drawn from both its vessels on that day where its bright packs wait no days. One set-up
 * serves both (L1): these columns say that the fermenter's set-up does.
 */
function addSharedSetups(model: PricedModel, cellar: Cellar, setups: readonly Setup[], setup: Setup): Setup[] {
  if (setup.vessel.kind !== 'BRIGHT' || setup.beer.brightDays > 0) return []
  const { vessel, beer, kind, filler, day } = setup
  return setups
    .filter((other) => other.vessel.kind === 'FERMENTER' && other.beer === beer && other.kind === kind)
    .filter((other) => other.filler === filler && other.day === day)
    .flatMap((other) => {
      const moves = cellar.moves
        .filter((move) => move.to === vessel && move.day === day)
        .filter((move) => move.source.vessel === other.vessel && move.source.beer === beer)
      if (moves.length === 0) return []
      const column = model.rows.column({ upper: 1 })
      model.rows.atMost(
        [
          [column, 1],
          ...each(
            moves.map((move) => move.chosen),
            -1,
          ),
        ],
        0,
      )
      model.rows.atMost(
        [
          [column, 1],
          [other.column, -1],
        ],
        0,
      )
      return [{ ...setup, column, shared: true }]
    })
}

/** V10: draws from a vessel lie within the beer's open days, counted from the first. */
function addOpenings(model: PricedModel, instance: Instance, cellar: Cellar, setups: readonly Setup[]): void {
  for (const [vessel, all] of cellar.spans) {
    for (const spans of grouped(all, (span) => [span.beer.id])) {
      const { beer } = spans[0]!
      const { maxOpenDays } = beer
      if (maxOpenDays === undefined) continue
      const fresh = spans.filter((span) => span.openedOn === undefined)
      const openings = grouped(fresh, (span) => [span.to]).flatMap((ending) => addOpeningsOfEnd(ending))
      for (const setup of setups.filter((other) => other.vessel === vessel && other.beer === beer)) {
        const opened = openings.filter(
          ({ day, to }) => day <= setup.day && setup.day <= day + maxOpenDays && setup.day <= to,
        )
        // The days of a vessel that is open already are limited where its draws are made.
        const already = spans.filter((span) => span.openedOn !== undefined && setup.day <= span.to)
        model.rows.atMost(
          [
            [setup.column, 1],
            ...each(
              opened.map(({ column }) => column),
              -1,
            ),
            ...each(columnsOf(already), -1),
          ],
          0,
        )
      }
    }
  }

  function addOpeningsOfEnd(ending: readonly Span[]): { day: number; to: number; column: number }[] {
    const { to, vessel } = ending[0]!
    const earliest = Math.min(...ending.map((span) => span.drawFrom))
    const days = instance.site(vessel.siteId).fillDays.filter((day) => earliest <= day && day <= to)
    const openings = days.map((day) => ({ day, to, column: model.rows.binary() }))
    for (const [index, { day }] of openings.entries()) {
      const begun = ending.filter((span) => span.drawFrom <= day)
      const opened = openings.slice(0, index + 1).map(({ column }) => column)
      model.rows.atMost([...each(opened), ...each(columnsOf(begun), -1)], 0)
    }
    return openings
  }
}

/** Most containers of a pack that a filler can draw on a day from one batch. */
function mostContainers(
  instance: Instance,
  filler: Filler,
  minutes: number,
  { facts, from }: { facts: PackFacts; from: readonly Span[] },
): number {
  const perContainer = minutesEach(filler, facts.type.id)
  if (perContainer === undefined) return 0
  const time = (minutes - setupMinutes(filler, facts.beer.id)) / perContainer
  const litres = (Math.max(...from.map((span) => span.most)) + LITRE_SLACK) / facts.drawn
  const most = Math.floor(Math.min(time, litres) + 1e-9)
  if (Number.isFinite(most)) return Math.max(0, most)
  // Containers that take neither time nor beer: no more than are ordered.
  return instance.lines.reduce((sum, { line }) => sum + (line.packId === facts.pack.id ? line.quantity : 0), 0)
}
