// Room for a brew: for a line that is late or not served, a vessel and days in which its beer could be brewed, and every
// line that is drawn from what stands there then.

import { fermentBy } from '../insertion/brews.ts'
import { latestFillDay } from '../insertion/days.ts'
import { fillWindows } from '../insertion/option.ts'
import type { Batch, Occupant } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import { below, type Random } from '../model/random.ts'
import type { State } from '../model/state.ts'
import { latest } from '../model/work-days.ts'
import { unsatisfiedLine } from './ruins/by-unsatisfied.ts'
import { nearest } from './ruins/choosing.ts'

/** Fill days before the last one that is on time, up to which a brew is considered. */
const DAYS_EARLIER = 6
/** Lines of the beer that are not served and come with the first. */
const MOST_BESIDES = 5

/** Lines to place first, and those to take out for them and place again after. */
export interface TargetedRemoval {
  first: LineModel[]
  others: LineModel[]
}

/** The lines to take out so that an unsatisfied line may have a brew; undefined where no line is unsatisfied or no brew is possible. */
export function targetedRemoval(state: State, random: Random): TargetedRemoval | undefined {
  const { model } = state
  const line = unsatisfiedLine(state, random)
  if (!line) return undefined
  const windows = [...fillWindows(state, line)]
  if (windows.length === 0) return undefined
  const [site, window] = windows[below(random, windows.length)]
  const { fermenters, brewBy } = model.sites[site]
  const beer = model.beers[line.beer]
  const vessels = fermenters.filter((vessel) => beer.allowed[vessel])
  if (vessels.length === 0) return undefined
  const vessel = vessels[below(random, vessels.length)]
  const day = latestFillDay(state, site, window.onTimeTo - below(random, DAYS_EARLIER), model.frozenUntil)
  const fermented = day < 0 ? -1 : fermentBy(state, line.beer, site, day, model.packs[line.pack].bright)
  // Whatever stands in the way of a brew on that day (V1, V3) is taken out.
  const brewOn = latest(brewBy, fermented - beer.readyAfter[site], model.frozenUntil)
  if (brewOn < 0) return undefined
  const besides = nearest(
    model.lines.filter((each) => each.beer === line.beer && each !== line && !state.placements[each.index]),
    line,
    MOST_BESIDES,
  )
  const first = [line, ...besides]
  const { turnaround } = model.vessels[vessel]
  const found = new Set<LineModel>()
  for (const stay of state.stays[vessel])
    if (stay.start <= fermented + turnaround && stay.end + turnaround >= brewOn)
      for (const user of usersFrom(stay, brewOn - turnaround)) found.add(user)
  return { first, others: [...found].filter((each) => !first.includes(each)) }
}

/** Lines that keep a batch in its vessel on or after a day. */
function usersFrom({ batch, start }: Occupant, day: number): LineModel[] {
  const all = start >= day || batch.transferOn >= day
  const drawn = (take: { batch: Batch; day: number }) => take.batch === batch && take.day >= day
  return [...batch.users]
    .filter((user) => all || user.deliveries.some((delivery) => delivery.runs.some(drawn)))
    .map((user) => user.line)
}
