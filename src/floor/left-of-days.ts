// What is left of days that have begun: what facts used up of them is planned no more, and what was ended takes nothing more.
import {
  brewsOf,
  type LocalDate,
  minutesEach,
  mostBrews,
  mostLitres,
  mostMinutes,
  mostTransfers,
  type Problem,
  setupMinutes,
} from '../planner/documents/index.ts'
import type { Fact, FactKind, FactOf } from './facts/fact.ts'

/** The parts of a problem's set-up that have limits by day, and what says how much of them a fact takes. */
export type LimitsOfDays = Pick<Problem, 'sites' | 'vessels' | 'beers' | 'fillers' | 'routes' | 'containerTypes'>

/** The kinds of facts that take something of their day. */
export const KINDS_THAT_USE_UP = [
  ...(['BREWED', 'TRANSFERRED', 'MOVED', 'PART_TRANSFERRED', 'BLENDED'] as const),
  ...(['FILLED', 'DISPATCHED', 'FILLING_ENDED', 'ROUTE_ENDED'] as const),
] satisfies readonly FactKind[]

/**
 * The set-up with what facts leave of their days: brews (V1), transfers (V11), minutes (L1, L4) and route litres (D1). On a day
 * on which filling was ended nothing more is filled and transferred, and a route that was ended leaves no more (T2). Facts of
 * other kinds take nothing. None of them may count no more, or be of a day before the problem's today.
 */
export function leftOfDays<Setup extends LimitsOfDays>(setup: Setup, facts: readonly Fact[]): Setup {
  if (facts.length === 0) return setup
  const days = [...new Set(facts.map(({ day }) => day))].sort()
  return {
    ...setup,
    sites: setup.sites.map((site) => {
      const own = facts.filter(({ siteId }) => siteId === site.id)
      return {
        ...site,
        noFillsOn: [...site.noFillsOn, ...daysOf(own, (fact) => fact.kind === 'FILLING_ENDED')],
        brewsOn: left(site.brewsOn, days, (day) => mostBrews(site, day), brews(own, site.brewLitres)),
        transfersOn: left(site.transfersOn, days, (day) => mostTransfers(site, day), transfers(own)),
      }
    }),
    fillers: setup.fillers.map((filler) => {
      const others = setup.fillers.filter(({ siteId }) => siteId === filler.siteId)
      // Where a site has one filler, that is the one, whether or not it was said.
      const own = ofKind(facts, 'FILLED').filter(({ siteId, data: { fillerId } }) =>
        fillerId === undefined ? siteId === filler.siteId && others.length === 1 : fillerId === filler.id,
      )
      const used = (day: LocalDate) => minutes(setup, filler, ofDay(own, day))
      return { ...filler, minutesOn: left(filler.minutesOn, days, (day) => mostMinutes(filler, day), used) }
    }),
    routes: setup.routes.map((route) => ({
      ...route,
      closedOn: [
        ...route.closedOn,
        ...daysOf(facts, (fact) => fact.kind === 'ROUTE_ENDED' && fact.data.routeId === route.id),
      ],
      capacityLitresOn: left(
        route.capacityLitresOn,
        days,
        (day) => mostLitres(route, day),
        litres(setup, route, facts),
      ),
    })),
  }
}

type Used = (day: LocalDate) => number

/** Limits of single days, with less on those of which something is used. */
function left(
  known: Readonly<Record<LocalDate, number>>,
  days: readonly LocalDate[],
  most: Used,
  used: Used,
): Record<LocalDate, number> {
  const less = days.flatMap((day) => {
    const [limit, taken] = [most(day), used(day)]
    return taken > 0 && Number.isFinite(limit) ? [[day, Math.max(0, limit - taken)] as const] : []
  })
  return { ...known, ...Object.fromEntries(less) }
}

function daysOf(facts: readonly Fact[], which: (fact: Fact) => boolean): LocalDate[] {
  return [...new Set(facts.filter(which).map(({ day }) => day))]
}

function ofDay<Each extends Fact>(facts: readonly Each[], on: LocalDate): Each[] {
  return facts.filter(({ day }) => day === on)
}

function ofKind<Kind extends FactKind>(facts: readonly Fact[], kind: Kind): FactOf<Kind>[] {
  return facts.filter((fact): fact is FactOf<Kind> & Fact => fact.kind === kind)
}

function brews(facts: readonly Fact[], brewLitres: number | undefined): Used {
  const own = ofKind(facts, 'BREWED')
  return (day) => ofDay(own, day).reduce((sum, { data: { ml } }) => sum + brewsOf(ml / 1000, brewLitres), 0)
}

/** Every move of beer takes the pump: a blend once for each batch that goes into it. */
function transfers(facts: readonly Fact[]): Used {
  const moves = (fact: Fact) => {
    if (fact.kind === 'BLENDED') return fact.data.parents.length
    return fact.kind === 'TRANSFERRED' || fact.kind === 'MOVED' || fact.kind === 'PART_TRANSFERRED' ? 1 : 0
  }
  return (day) => ofDay(facts, day).reduce((sum, fact) => sum + moves(fact), 0)
}

/** Minutes of the fills of a filler on a day: each container, spoiled ones too, a set-up for each batch and container kind, washing between groups. */
function minutes(
  { beers, containerTypes }: LimitsOfDays,
  filler: Problem['fillers'][number],
  fills: readonly FactOf<'FILLED'>[],
): number {
  const kinds = new Map(containerTypes.map(({ id, kind }) => [id, kind]))
  const setUps = new Map<string, number>()
  const groups = new Set<string | undefined>()
  let work = 0
  for (const { batchId, packId, typeId, quantity, spoiled } of fills.map(({ data }) => data)) {
    const beer = beers.find(({ packs }) => packs.some(({ id }) => id === packId))
    setUps.set(JSON.stringify([batchId, kinds.get(typeId)]), setupMinutes(filler, beer?.id ?? ''))
    groups.add(beer?.washGroup)
    work += (minutesEach(filler, typeId) ?? 0) * (quantity + spoiled)
  }
  const washes = Math.max(0, groups.size - 1)
  return [...setUps.values()].reduce((sum, each) => sum + each, work + washes * filler.washMinutes)
}

function litres(
  { containerTypes }: LimitsOfDays,
  { id: routeId }: Problem['routes'][number],
  facts: readonly Fact[],
): Used {
  const nominal = new Map(containerTypes.map(({ id, nominalLitres }) => [id, nominalLitres]))
  const own = ofKind(facts, 'DISPATCHED').filter(({ data }) => data.routeId === routeId)
  return (day) =>
    ofDay(own, day).reduce((sum, { data: { lots, typeId } }) => {
      const containers = lots.reduce((count, { quantity }) => count + quantity, 0)
      return sum + containers * (nominal.get(typeId) ?? 0)
    }, 0)
}
