// Changes applied to the problem document. Nothing here judges: what is named and not there leaves the problem as it is,
// and whether the outcome can be planned is for the parser to say.
import { addDays } from '../../calendar/days.ts'
import { lineWithDefaults } from '../defaults.ts'
import type { Filler, Fleet, Problem } from '../problem.ts'
import type { ProblemChange } from './problem-change.ts'

/** The problem with all changes made, one after the other. */
export function applyChanges(problem: Problem, changes: readonly ProblemChange[]): Problem {
  return changes.reduce(applyChange, problem)
}

function applyChange(problem: Problem, change: ProblemChange): Problem {
  switch (change.kind) {
    case 'VESSEL': {
      const to = addDays(problem.today, problem.horizonDays - 1)
      return vesselOut(problem, change.vesselId, problem.today, to)
    }
    case 'VESSEL_OUT':
      return vesselOut(problem, change.vesselId, change.from, change.to)
    case 'FILLER': {
      const still = { minutesPerDay: 0, minutesOn: {}, minutesEach: {} }
      return { ...problem, fillers: withId(problem.fillers, change.fillerId, (filler) => ({ ...filler, ...still })) }
    }
    case 'DAY':
      return {
        ...problem,
        sites: changed(
          problem.sites,
          ({ id }) => change.siteId === undefined || id === change.siteId,
          (site) => ({ ...site, closedOn: [...new Set([...site.closedOn, change.day])].sort() }),
        ),
      }
    case 'MORE_VESSELS':
      return moreVessels(problem, change)
    case 'ANOTHER_FILLER': {
      const like = problem.fillers.find(({ id }) => id === change.likeId)
      if (!like) return problem
      const { minutesPerDay = like.minutesPerDay } = change
      const another = { ...like, id: unusedId(problem.fillers, `another-${like.id}`), minutesPerDay }
      return { ...problem, fillers: [...problem.fillers, another] }
    }
    case 'FILLER_MINUTES': {
      const { minutes, on } = change
      return {
        ...problem,
        fillers: withId(problem.fillers, change.fillerId, (filler) => moreMinutes(filler, minutes, on)),
      }
    }
    case 'CONTAINERS':
      return {
        ...problem,
        fleets: changed(
          problem.fleets,
          ({ siteId, containerTypeId }) => siteId === change.siteId && containerTypeId === change.containerTypeId,
          (fleet) => moreContainers(fleet, problem.today, change.quantity, change.by),
        ),
      }
    case 'STORE_LITRES':
      return {
        ...problem,
        stores: changed(
          problem.stores,
          ({ siteId, climate }) => siteId === change.siteId && climate === change.climate,
          (store) => ({ ...store, capacityLitres: Math.max(0, store.capacityLitres + change.litres) }),
        ),
      }
    case 'ROUTE':
      return { ...problem, routes: withId(problem.routes, change.routeId, (route) => ({ ...route, ...given(change) })) }
    case 'ACCOUNT':
      return {
        ...problem,
        accounts: withId(problem.accounts, change.accountId, (account) => ({ ...account, ...given(change) })),
      }
    case 'SITE':
      return { ...problem, sites: withId(problem.sites, change.siteId, (site) => ({ ...site, ...given(change) })) }
    case 'ORDER_LINE': {
      const id = unusedId(problem.orderLines, 'asked-for')
      const line = lineWithDefaults({ ...change.line, id, orderId: id })
      return { ...problem, orderLines: [...problem.orderLines, line] }
    }
  }
}

function changed<Thing>(
  list: readonly Thing[],
  which: (thing: Thing) => boolean,
  to: (thing: Thing) => Thing,
): Thing[] {
  return list.map((thing) => (which(thing) ? to(thing) : thing))
}

function withId<Thing extends { id: string }>(
  list: readonly Thing[],
  id: string,
  to: (thing: Thing) => Thing,
): Thing[] {
  return changed(list, (thing) => thing.id === id, to)
}

/** The fields of a thing that a change of it gives new values. */
function given(change: Extract<ProblemChange, { kind: 'ROUTE' | 'ACCOUNT' | 'SITE' }>) {
  const { kind: _kind, ...values } = change
  const fields = Object.entries(values).filter(([key, value]) => value !== undefined && !NAMES.has(key))
  return Object.fromEntries(fields)
}

const NAMES: ReadonlySet<string> = new Set(['routeId', 'accountId', 'siteId'])

function vesselOut(problem: Problem, vesselId: string, from: string, to: string): Problem {
  return {
    ...problem,
    vessels: withId(problem.vessels, vesselId, (vessel) => ({
      ...vessel,
      outOfService: [...vessel.outOfService, { from, to }],
    })),
  }
}

/** New vessels hold as much of their capacity at the least as the one that they are like. */
function moreVessels(problem: Problem, change: Extract<ProblemChange, { kind: 'MORE_VESSELS' }>): Problem {
  const { likeId, count, availableFrom } = change
  const like = problem.vessels.find(({ id }) => id === likeId)
  if (!like) return problem
  const { capacityLitres = like.capacityLitres } = change
  const minFillLitres = like.minFillLitres * (capacityLitres / like.capacityLitres)
  const vessels = [...problem.vessels]
  const ids: string[] = []
  for (let number = 0; number < count; number++) {
    const id = unusedId(vessels, `another-${likeId}`)
    ids.push(id)
    vessels.push({ ...like, id, capacityLitres, minFillLitres, availableFrom, outOfService: [] })
  }
  const beers = problem.beers.map((beer) =>
    beer.vesselIds?.includes(likeId) ? { ...beer, vesselIds: [...beer.vesselIds, ...ids] } : beer,
  )
  return { ...problem, vessels, beers }
}

/** On one day; or on each, but for days on which the filler does not work. */
function moreMinutes(filler: Filler, minutes: number, on: string | undefined): Filler {
  const more = (now: number) => Math.max(0, now + minutes)
  const { minutesPerDay, minutesOn } = filler
  if (on !== undefined) return { ...filler, minutesOn: { ...minutesOn, [on]: more(minutesOn[on] ?? minutesPerDay) } }
  const exceptions = Object.entries(minutesOn).map(([day, now]) => [day, now === 0 ? 0 : more(now)])
  return { ...filler, minutesPerDay: more(minutesPerDay), minutesOn: Object.fromEntries(exceptions) }
}

/** C1: clean today is counted; clean later comes back so much earlier that it is washed by the day. Fewer are taken from those that are clean first. */
function moreContainers(fleet: Fleet, today: string, quantity: number, by: string | undefined): Fleet {
  const { cleanNow, returns, washDays } = fleet
  if (quantity >= 0 && by !== undefined && by > today)
    return { ...fleet, returns: [...returns, { on: addDays(by, -washDays), quantity }] }
  let missing = Math.max(0, -(cleanNow + quantity))
  const left = returns.map((each) => {
    const taken = Math.min(missing, each.quantity)
    missing -= taken
    return { ...each, quantity: each.quantity - taken }
  })
  return { ...fleet, cleanNow: Math.max(0, cleanNow + quantity), returns: left }
}

function unusedId(list: readonly { id: string }[], wish: string): string {
  const used = new Set(list.map(({ id }) => id))
  let id = wish
  for (let number = 2; used.has(id); number++) id = `${wish}-${number}`
  return id
}
