// What stands at the head of every sheet: where and for which day it is, and of which records.
import type { LocalDate } from '../planner/documents/index.ts'

/** Of which records a sheet was made, and when. */
export interface SheetMaking {
  /** The distributor's revision that it was made from. */
  revision: number
  /** When it was made, in RFC 3339. */
  madeAt: string
  /** The zone of the clock that it is read by: the site's, or the distributor's. */
  timeZone: string
}

export interface SheetHead extends SheetMaking {
  siteId: string
  siteName: string
  day: LocalDate
}

/** When there is work again, for a sheet of a day that has none. */
export interface NextWork {
  /** The next day after that of the sheet with such work in the plan in force. Absent: the day has work, or no later day has any. */
  nextDay?: LocalDate | undefined
}
