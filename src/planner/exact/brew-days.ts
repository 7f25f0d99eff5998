// The days on which the exact model brews. A brew that is ready a few days before the first fill day might as well begin later, if it is
// ready by then still: its vessel is taken up for less time, its deadlines are later, and nothing costs more.
import { type Instance, readyAfterBrew } from '../bound/instance.ts'
import { mostBrews } from '../documents/day-limits.ts'
import type { Beer, Site, Vessel } from '../documents/problem.ts'

/**
 * The brew days of a beer at a site without those for which the next one is as good in every plan. With a plan in force all of them:
 * there a brew on another day is churn.
 */
export function brewDaysOf(instance: Instance, siteId: string, beer: Beer): number[] {
  const { site, brewDays, fillDays } = instance.site(siteId)
  if (instance.problem.baseline) return brewDays
  const readyAfter = readyAfterBrew(site, beer)
  return brewDays.filter((day, index) => {
    const next = brewDays[index + 1]
    if (next === undefined || next + readyAfter >= instance.horizon) return true
    const isSooner = fillDays.some((fill) => day + readyAfter <= fill && fill < next + readyAfter)
    return isSooner || !hasRoomForAll(instance, site, next)
  })
}

/** V1: whether all fermenters could be brewed into on one day, whatever else is brewed then. */
function hasRoomForAll({ problem, dateOf }: Instance, site: Site, day: number): boolean {
  const fermenters = problem.vessels.filter(({ siteId, kind }) => siteId === site.id && kind === 'FERMENTER')
  const brews = fermenters.map((vessel) => brewsInto(vessel, site))
  return brews.reduce((sum, count) => sum + count, 0) <= mostBrews(site, dateOf(day))
}

/** The most brews that a batch in a vessel takes. */
function brewsInto({ capacityLitres }: Vessel, { brewLitres = Number.POSITIVE_INFINITY }: Site): number {
  return Math.max(1, Math.ceil(capacityLitres / brewLitres - 1e-9))
}
