// What stands in the demo's tanks today, at all stages, and from when on each pack can be filled from it.

import type { BatchDocument, BeerDocument, LocalDate } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import type { Names } from '../../src/records/scenario.ts'
import { stageHours } from '../generator/beers.ts'
import { found } from '../generator/demand.ts'
import { readyInstant } from '../instants.ts'
import { DEMO_BEERS } from './beers.ts'
import { firstOn, lastOn } from './calendar.ts'
import { festivalFillDay } from './festival.ts'
import { demoSites } from './sites.ts'

const WORKDAYS = [1, 2, 3, 4, 5]
/** From a day without brewing to the next day with, in a week without holidays. */
const WEEKEND_DAYS = 3
const beers = new Map(DEMO_BEERS.map((beer) => [beer.id, beer]))

/** Days from the brew to the ready day: brews end in the afternoon, filling starts in the morning (T1). */
function daysToReady(beer: BeerDocument): number {
  return stageHours(beer) / 24 + 1
}

/** The day on which a beer brewed on the first brew day from today on could be filled. */
export function nextBrewReadyOn(beerId: string, siteId: string, today: LocalDate): LocalDate {
  const site = demoSites(today).find((other) => other.id === siteId)!
  return addDays(firstOn(today, site.brewWeekdays, site.closedOn), daysToReady(found(beers, beerId)))
}

/**
 * The first day on or after `from` on which a batch brewed on a brew day of the site becomes ready; where that is more
 * than a weekend later, as over a holiday, the last such day before `from`.
 */
function readyDayFrom(from: LocalDate, beerId: string, siteId: string, today: LocalDate): LocalDate {
  const beer = found(beers, beerId)
  const site = demoSites(today).find((other) => other.id === siteId)!
  const brewFrom = addDays(from, -daysToReady(beer))
  const after = firstOn(brewFrom, site.brewWeekdays, site.closedOn)
  const brewOn = after <= addDays(brewFrom, WEEKEND_DAYS) ? after : lastOn(brewFrom, site.brewWeekdays, site.closedOn)
  return addDays(brewOn, daysToReady(beer))
}

/** Ready days of the batches that still ferment, or that the demo's orders are measured by. */
export function readyDays(today: LocalDate) {
  const copperplate = festivalFillDay(today)
  const blotter = readyDayFrom(addDays(today, 3), 'blotter', 'mossrake', today)
  return {
    foolscapSecond: readyDayFrom(addDays(today, 4), 'foolscap', 'mossrake', today),
    copperplate,
    // Not on the festival's day, when the cask line has no minutes for another batch.
    blotter: blotter === copperplate ? readyDayFrom(addDays(blotter, 1), 'blotter', 'mossrake', today) : blotter,
    deckle: readyDayFrom(addDays(today, 3), 'deckle', 'mossrake', today),
    dogEarSecond: readyDayFrom(addDays(today, 3), 'dog-ear', 'hithelow', today),
  }
}

export type ReadyDays = ReturnType<typeof readyDays>

/** The batches: ready, open, in the bright vessel, fermenting, too old to prime, and one kept back for quality. */
export function demoBatches(today: LocalDate): BatchDocument[] {
  const ready = readyDays(today)
  const closedOn = demoSites(today)[0]?.closedOn
  const batch = (id: string, vesselId: string, beerId: string, readyOn: LocalDate, litres: number): BatchDocument => {
    const beer = found(beers, beerId)
    const site = demoSites(today).find((other) => other.id === (vesselId.startsWith('m-') ? 'mossrake' : 'hithelow'))!
    return { id, beerId, vesselId, litres, readyAt: readyInstant(site, beer, addDays(readyOn, -daysToReady(beer))) }
  }
  return [
    batch('g-1041', 'm-fv1', 'foolscap', readyDayFrom(addDays(today, -3), 'foolscap', 'mossrake', today), 1540),
    batch('g-1044', 'm-fv2', 'foolscap', ready.foolscapSecond, 1500),
    batch('g-1043', 'm-fv3', 'copperplate', ready.copperplate, 3550),
    batch('g-1039', 'm-fv4', 'blotter', ready.blotter, 1100),
    batch('g-1038', 'm-fv5', 'marginalia', readyDayFrom(addDays(today, -4), 'marginalia', 'mossrake', today), 1820),
    batch('g-1042', 'm-fv6', 'deckle', ready.deckle, 1900),
    {
      ...batch('g-1036', 'm-bt1', 'deckle', readyDayFrom(addDays(today, -9), 'deckle', 'mossrake', today), 500),
      transferredOn: lastOn(addDays(today, -4), WORKDAYS, closedOn),
      openedOn: lastOn(addDays(today, -1), WORKDAYS, closedOn),
    },
    batch('g-2017', 'h-fv1', 'dog-ear', readyDayFrom(addDays(today, -3), 'dog-ear', 'hithelow', today), 1480),
    // Ready 17 days ago or a little less: beyond the ten days within which it could be primed (V7).
    {
      ...batch(
        'g-2014',
        'h-fv2',
        'sealing-wax',
        readyDayFrom(addDays(today, -17), 'sealing-wax', 'hithelow', today),
        620,
      ),
      openedOn: lastOn(addDays(today, -6), WORKDAYS, closedOn),
    },
    // Kept back: the laboratory is not done with it (V8).
    {
      ...batch('g-2015', 'h-fv3', 'night-post', readyDayFrom(addDays(today, -5), 'night-post', 'hithelow', today), 820),
      quarantined: true,
    },
    batch('g-2018', 'h-fv4', 'dog-ear', ready.dogEarSecond, 1500),
  ]
}

/** BatchDocument codes (gyle numbers), such as `G1041`. */
export const BATCH_NAMES: Names = Object.fromEntries(
  ['g-1041', 'g-1044', 'g-1043', 'g-1039', 'g-1038', 'g-1042', 'g-1036', 'g-2017', 'g-2014', 'g-2015', 'g-2018'].map(
    (id) => [id, { name: id.replace('-', '').toUpperCase() }],
  ),
)

/**
 * From which day on each pack can be filled from what stands or is brewed next; until then stock must serve its
 * orders. `noStock`: nothing is in stock, and no regular order falls before.
 */
export function fillableFrom(
  packId: string,
  today: LocalDate,
  firkinsCleanOn: LocalDate,
  ready: ReadyDays,
): { from: LocalDate; noStock: boolean } {
  const stocked = (from: LocalDate) => ({ from, noStock: false })
  switch (packId) {
    case 'copperplate-firkin':
    case 'copperplate-kilderkin':
      // The cask line is the festival's on the ready day; the regular orders get theirs a day later.
      return stocked(addDays(ready.copperplate, 1))
    case 'blotter-firkin':
      return { from: addDays(ready.blotter, 1), noStock: true }
    case 'blotter-keg-30':
      return stocked(addDays(ready.blotter, 4))
    case 'marginalia-keg-30':
    case 'marginalia-keg-50':
      return stocked(addDays(today, 5))
    case 'deckle-keg-30':
    case 'deckle-keg-50':
      return stocked(addDays(ready.deckle, 5))
    case 'dog-ear-keg-30':
      return stocked(addDays(ready.dogEarSecond, 5))
    case 'dog-ear-firkin':
    case 'sealing-wax-firkin':
      return stocked(firkinsCleanOn)
    case 'night-post-firkin':
      return stocked(nextBrewReadyOn('night-post', 'hithelow', today))
    case 'sealing-wax-pin-gravity':
    case 'foolscap-firkin-gravity':
    case 'night-post-keg-30':
      return { from: addDays(nextBrewReadyOn('night-post', 'hithelow', today), 5), noStock: true }
    default:
      return stocked(addDays(today, 2))
  }
}
