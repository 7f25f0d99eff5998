// V11: how many transfers start at a site on a day.
import { mostTransfers } from '../../documents/day-limits.ts'
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** V11: no more transfers start at a site on a day than it has for it; every transfer counts, the one too many of a batch too. */
export function transfersPerDay(facts: Facts): Violation[] {
  const started = new Map<string, { siteId: string; day: number; limit: number; ids: string[] }>()
  for (const { site: at, transfer, furtherTransfers } of facts.batches.values()) {
    const { site } = at
    if (!transfer) continue
    for (const { id, on } of [transfer.transfer, ...furtherTransfers]) {
      const day = facts.dayOf(on)
      const limit = mostTransfers(site, on)
      const key = JSON.stringify([site.id, day])
      const sum = started.get(key) ?? { siteId: site.id, day, limit, ids: [] }
      sum.ids.push(id)
      started.set(key, sum)
    }
  }
  return [...started.values()]
    .filter(({ ids, limit }) => ids.length > limit)
    .map(({ siteId, day, limit, ids }) =>
      violationOn(
        day,
        facts,
        'V11',
        `site "${siteId}" starts ${ids.length} transfers, and can start ${limit} on the day`,
        ...ids,
      ),
    )
}
