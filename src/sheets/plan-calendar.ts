// The work of a site as events of a calendar: brews, transfers, fills and loads, planned and said, one day each.
import type { LocalDate } from '../planner/documents/index.ts'
import type { NameOf } from './name-of.ts'

/** The kinds of event, by what calendars may colour them. */
export const EVENT_KINDS = ['BREW', 'TRANSFER', 'FILL', 'DELIVERY'] as const
export type EventKind = (typeof EVENT_KINDS)[number]

/** Work of one day. Ids are of the records; a planned brew's id is that of the batch that it becomes. */
export interface PlannedEvent {
  kind: EventKind
  day: LocalDate
  /** The same thing has the same key after every change of the plan, and when it was said to be done. */
  key: string
  batchId?: string
  beerId?: string
  packId?: string
  vesselId?: string
  fillerId?: string
  routeId?: string
  /** Whole containers. */
  quantity?: number
  litres?: number
  /** Of a load: the names of the accounts, in the order of the names. */
  accounts?: readonly string[]
  /** A fact says that it is done; `false` where it was assumed. Absent: it is planned. */
  isSaid?: boolean
}

/** An event as a calendar shows it: the whole day, at a place. */
export interface CalendarEvent {
  /** Unique among all calendars, and the same over all revisions. */
  uid: string
  kind: EventKind
  day: LocalDate
  title: string
  /** Lines; none: nothing more to say. */
  lines: readonly string[]
  /** Absent: said to be done. */
  state?: 'PLANNED' | 'ASSUMED'
}

/** In the order of the days; of two of one key the first counts, and the other one has its own number. */
export function calendarEvents(
  planned: readonly PlannedEvent[],
  distributorId: string,
  nameOf: NameOf,
): CalendarEvent[] {
  const known = new Map<string, number>()
  return planned
    .map((event) => {
      const times = known.get(event.key) ?? 0
      known.set(event.key, times + 1)
      return {
        uid: `${event.key}${times === 0 ? '' : `-${times + 1}`}@${distributorId}.fillwright`,
        ...{ kind: event.kind, day: event.day, title: titleOf(event, nameOf), lines: linesOf(event, nameOf) },
        ...(event.isSaid === true
          ? {}
          : { state: event.isSaid === false ? ('ASSUMED' as const) : ('PLANNED' as const) }),
      }
    })
    .toSorted((a, b) => (`${a.day} ${a.uid}` < `${b.day} ${b.uid}` ? -1 : 1))
}

/** Such as `Fill 12 × Foolscap Pale firkin`. */
function titleOf({ kind, beerId, packId, vesselId, routeId, quantity, litres }: PlannedEvent, nameOf: NameOf): string {
  const beer = beerId === undefined ? '' : nameOf('beer', beerId)
  const vessel = vesselId === undefined ? '' : nameOf('vessel', vesselId)
  const amount = litres === undefined ? '' : `, ${Math.round(litres)} L`
  switch (kind) {
    case 'BREW':
      return `Brew ${beer}${amount} into ${vessel}`
    case 'TRANSFER':
      return `Transfer ${beer} to ${vessel}${amount}`
    case 'FILL':
      return `Fill ${quantity} × ${packId === undefined ? beer : nameOf('pack', packId)}`
    case 'DELIVERY':
      return `Load ${routeId === undefined ? '' : nameOf('route', routeId)}: ${quantity} containers${amount}`
  }
}

function linesOf({ kind, batchId, vesselId, fillerId, accounts = [] }: PlannedEvent, nameOf: NameOf): string[] {
  const batch = batchId === undefined ? undefined : nameOf('batch', batchId)
  return [
    // A brew that is yet to be made has no code: its id says nothing to people.
    ...(batch === undefined || batch === batchId ? [] : [`Batch ${batch}`]),
    ...(kind === 'FILL' && vesselId !== undefined ? [`From ${nameOf('vessel', vesselId)}`] : []),
    ...(fillerId === undefined ? [] : [`On ${nameOf('filler', fillerId)}`]),
    ...accounts,
  ]
}
