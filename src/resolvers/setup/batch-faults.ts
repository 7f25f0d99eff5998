// What cannot be of a batch that stands in a vessel: more beer than the vessel holds, days in no order that beer can take, and
// instants so far away that a digit must be wrong.
import { type Issue, issue } from '../../errors.ts'
import { addDays, dayNumber, type LocalDate, localDateOf, wallClock } from '../../planner/documents/index.ts'

/** Days after which no beer is still in a vessel: the longest-aged ones stay about three years (common practice). */
export const OLDEST_FACT_DAYS = 3 * 366
/** Days within which beer that stands in a vessel will be ready. */
export const LATEST_READY_DAYS = 400

export interface BatchGiven {
  litres: number
  readyAt: string
  brewedOn?: LocalDate | undefined
  transferredOn?: LocalDate | undefined
  openedOn?: LocalDate | undefined
  emptiedOn?: LocalDate | undefined
}

/** The vessel that it stands in; litres, and the site's zone and today. */
export interface Place {
  name: string
  kind: 'FERMENTER' | 'BRIGHT'
  capacityLitres: number
  timeZone: string
  today: LocalDate
}

/** A fault, and the paths of the other values without which it would be none. */
export type FaultBeside = readonly [besides: readonly string[], fault: Issue]

/** All that is wrong with a batch beside the vessel that it stands in. */
export function batchFaults(given: BatchGiven, place: Place): FaultBeside[] {
  return [...volumeFaults(given, place), ...reachFaults(given, place), ...vesselKindFaults(given, place)]
}

/** Days of a batch that stand in no order that beer can take: brewed, ready, transferred, opened, emptied. */
export function orderFaults(given: BatchGiven, place: Place | undefined): FaultBeside[] {
  const { brewedOn, transferredOn, openedOn, emptiedOn } = given
  const faults: FaultBeside[] = []
  const readyOn = place && localDateOf(wallClock(given.readyAt, place.timeZone).day)
  if (readyOn !== undefined && brewedOn !== undefined && brewedOn > readyOn)
    faults.push([
      ['readyAt'],
      issue('brewedOn', 'BREWED_AFTER_READY', `brewed on ${brewedOn}, but ready on ${readyOn} (T1)`),
    ])
  if (openedOn !== undefined && transferredOn !== undefined && openedOn < transferredOn)
    faults.push([
      ['transferredOn'],
      issue('openedOn', 'OPENED_BEFORE_TRANSFER', `opened on ${openedOn}, transferred on ${transferredOn}`),
    ])
  for (const [path, words, day] of [
    ['transferredOn', 'transferred', transferredOn],
    ['openedOn', 'opened', openedOn],
    ['emptiedOn', 'emptied', emptiedOn],
  ] as const)
    if (day !== undefined && brewedOn !== undefined && day < brewedOn)
      faults.push([['brewedOn'], issue(path, 'BEFORE_BREWED', `${words} on ${day}, brewed on ${brewedOn}`)])
  return faults
}

function volumeFaults({ litres }: BatchGiven, { name, capacityLitres }: Place): FaultBeside[] {
  if (litres <= capacityLitres) return []
  const message = `${litres} L, but the vessel "${name}" holds ${capacityLitres} L (V2)`
  return [[['vessel'], issue('litres', 'MORE_THAN_VESSEL_HOLDS', message)]]
}

function reachFaults(given: BatchGiven, { today, timeZone }: Place): FaultBeside[] {
  const { brewedOn, transferredOn, openedOn, emptiedOn } = given
  const faults: FaultBeside[] = []
  const oldest = addDays(today, -OLDEST_FACT_DAYS)
  for (const [path, day] of Object.entries({ brewedOn, transferredOn, openedOn, emptiedOn })) {
    if (day === undefined) continue
    if (day > today) faults.push([['vessel'], issue(path, 'FACT_IN_FUTURE', `${day} is after today, ${today}`)])
    if (day < oldest) faults.push([['vessel'], issue(path, 'DAY_OUT_OF_REACH', `${day} is before ${oldest}`)])
  }
  const readyOn = wallClock(given.readyAt, timeZone).day
  const latest = addDays(today, LATEST_READY_DAYS)
  if (readyOn < dayNumber(oldest) || readyOn > dayNumber(latest))
    faults.push([
      ['vessel'],
      issue('readyAt', 'DAY_OUT_OF_REACH', `${given.readyAt} is not between ${oldest} and ${latest}`),
    ])
  return faults
}

function vesselKindFaults({ transferredOn }: BatchGiven, { kind, name }: Place): FaultBeside[] {
  if (kind === 'BRIGHT' && transferredOn === undefined) {
    const message = `the vessel "${name}" is a bright vessel (V4)`
    return [[['vessel'], issue('transferredOn', 'TRANSFER_DATE_MISSING', message)]]
  }
  if (kind === 'FERMENTER' && transferredOn !== undefined) {
    const message = `the vessel "${name}" is a fermenter (V4)`
    return [[['vessel'], issue('transferredOn', 'TRANSFER_DATE_UNEXPECTED', message)]]
  }
  return []
}
