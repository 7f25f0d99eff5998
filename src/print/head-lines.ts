// The lines under the title of every sheet: its day, and of which records and when it was made.
import { dayWords } from '../planner/documents/index.ts'
import type { SheetHead } from '../sheets/sheet-head.ts'

/** Two lines; the time is that of the site. */
export function headLines({ siteName, day, revision, madeAt, timeZone }: SheetHead): string[] {
  const time = new Intl.DateTimeFormat('en-GB', {
    ...{ timeZone, hour12: false },
    ...{ year: 'numeric', month: 'short', day: 'numeric', hour: '2-digit', minute: '2-digit' },
  }).format(new Date(madeAt))
  return [`${siteName}, ${dayWords(day)} · made ${time}, revision ${revision}`]
}
