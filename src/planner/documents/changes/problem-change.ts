// A change to a problem that someone wants to try out: less of something, more of it, or another way to work.
import type { LocalDate } from '../../calendar/days.ts'
import type { OrderLineDocument } from '../defaults.ts'
import type { Store } from '../problem.ts'

/** Something that a plan is to be made without. */
export type Without =
  /** Nothing enters the vessel from today on; what stands in it may be drawn (V3). */
  | { kind: 'VESSEL'; vesselId: string }
  /** The filler fills nothing. */
  | { kind: 'FILLER'; fillerId: string }
  /** The site (absent: every site) is closed on the day (T2). */
  | { kind: 'DAY'; day: LocalDate; siteId?: string }

/** A change. Amounts that are added may be negative and end at nothing. */
export type ProblemChange =
  | Without
  /** More vessels like one; beers that may use the one may use the others. */
  | { kind: 'MORE_VESSELS'; likeId: string; count: number; capacityLitres?: number; availableFrom?: LocalDate }
  /** Nothing enters the vessel on these days, nor stands in it by plan (V3). */
  | { kind: 'VESSEL_OUT'; vesselId: string; from: LocalDate; to: LocalDate }
  /** One more filler like one. */
  | { kind: 'ANOTHER_FILLER'; likeId: string; minutesPerDay?: number }
  /** Minutes added to a filler on one day, or on each day on which it works (L1). */
  | { kind: 'FILLER_MINUTES'; fillerId: string; minutes: number; on?: LocalDate }
  /** Clean containers added to a fleet, now or by a day (C1). */
  | { kind: 'CONTAINERS'; siteId: string; containerTypeId: string; quantity: number; by?: LocalDate }
  /** Nominal litres added to a store (S1). */
  | { kind: 'STORE_LITRES'; siteId: string; climate: Store['climate']; litres: number }
  /** Other weekdays or another capacity of a route (T2, D1). */
  | { kind: 'ROUTE'; routeId: string; weekdays?: number[]; capacityLitres?: number }
  /** Other routes or receiving days of an account (B2, T2). */
  | { kind: 'ACCOUNT'; accountId: string; routeIds?: string[]; receivesWeekdays?: number[] }
  /** Another number of brews a day or other weekdays of a site (V1, T2). */
  | { kind: 'SITE'; siteId: string; brewsPerDay?: number; brewWeekdays?: number[]; fillWeekdays?: number[] }
  /** One more order line. */
  | { kind: 'ORDER_LINE'; line: Omit<OrderLineDocument, 'id' | 'orderId'> }
