// Which days are over by the clock: at a site from the end of its day on, for all sites once it is tomorrow everywhere.
import { type Clock, todayIn } from '../../clock.ts'
import { addDays, type LocalDate, laterOf, minuteOfDay, wallClock } from '../../planner/documents/index.ts'
import type { DistributorNow, SiteClock } from '../access/authenticate.ts'

/** Whether all that is over has been rolled, by what a request found, or one who holds the lock. */
export function isRolled(
  clock: Clock,
  { rolledThrough, timeZone, sites }: Pick<DistributorNow, 'rolledThrough' | 'timeZone' | 'sites'>,
): boolean {
  if (rolledThrough === undefined || rolledThrough < addDays(earliestToday(clock, timeZone, sites), -1)) return false
  return sites.every((site) => (site.endedThrough ?? rolledThrough) >= lastEnded(clock, timeZone, site))
}

/** Today where the day is youngest, at the distributor or at a site: every day before it is over everywhere. */
export function earliestToday(
  clock: Clock,
  timeZone: string,
  sites: readonly Pick<SiteClock, 'timeZone'>[],
): LocalDate {
  return sites.map((site) => todayIn(clock, site.timeZone)).reduce(earlierOf, todayIn(clock, timeZone))
}

/**
 * The last day on which a site begins nothing more: its today once the day has ended, else the day before. Never after the
 * distributor's today, by which plans go.
 */
export function lastEnded(clock: Clock, timeZone: string, site: Pick<SiteClock, 'timeZone' | 'dayEnds'>): LocalDate {
  const { minute } = wallClock(clock.now().toISOString(), site.timeZone)
  const ends = minuteOfDay(site.dayEnds)
  return earlierOf(addDays(todayIn(clock, site.timeZone), minute < ends ? -1 : 0), todayIn(clock, timeZone))
}

function earlierOf(a: LocalDate, b: LocalDate): LocalDate {
  return laterOf(a, b) === a ? b : a
}
