// The lines under the title of every sheet: its day, and of which records and when it was made.
import { dayWords } from '../planner/documents/index.ts'
import type { NextWork, SheetHead, SheetMaking } from '../sheets/sheet-head.ts'

/** One line; the time is that of the site. */
export function headLines({ siteName, day, ...making }: SheetHead): string[] {
  return [`${siteName}, ${dayWords(day)} · ${madeWords(making)}`]
}

/** Such as `made 1 Mar 2027, 09:00, revision 12`. */
export function madeWords({ revision, madeAt, timeZone }: SheetMaking): string {
  const time = new Intl.DateTimeFormat('en-GB', {
    ...{ timeZone, hour12: false },
    ...{ year: 'numeric', month: 'short', day: 'numeric', hour: '2-digit', minute: '2-digit' },
  }).format(new Date(madeAt))
  return `made ${time}, revision ${revision}`
}

/** When there is such work again, for a day that has none. */
export function nextLine({ nextDay }: NextWork): string {
  return nextDay === undefined ? 'None is planned for a later day.' : `Next: ${dayWords(nextDay)}.`
}
