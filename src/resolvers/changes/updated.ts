// Lists of what was changed since an instant. For followers that must miss nothing there is the feed.
import { z } from 'zod'

/** The instant in a filter. */
export const changedSince = z.iso.datetime({ offset: true }).optional()

/** The condition of things that were changed at the instant or later; of all where there is none. */
export function updatedSince(instant: string | undefined): { updatedAt?: { gte: Date } } {
  return instant === undefined ? {} : { updatedAt: { gte: new Date(instant) } }
}

/** The words of the filter for `plural` things. */
export const changedSinceWords = (plural: string) =>
  `Only ${plural} that were changed at this instant or later (\`updatedAt\`), by the clock of the servers: leave a minute of overlap, or follow \`changes\`, which misses nothing. Absent: all.`
