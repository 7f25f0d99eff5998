// What stands at the head of every sheet: where and for which day it is, and of which records.
import type { LocalDate } from '../planner/documents/index.ts'

export interface SheetHead {
  siteId: string
  siteName: string
  day: LocalDate
  /** The distributor's revision that it was made from. */
  revision: number
  /** When it was made, in RFC 3339. */
  madeAt: string
  /** The zone of the site's clock. */
  timeZone: string
}
