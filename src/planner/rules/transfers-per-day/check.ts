// V11: how many transfers start at a site on a day.
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** V11: at most `transfersPerDay` transfers start at a site on a day; every transfer counts, the one too many of a batch too. */
export function transfersPerDay(facts: Facts): Violation[] {
  const started = new Map<string, { siteId: string; day: number; limit: number; ids: string[] }>()
  for (const { site: at, transfer, furtherTransfers } of facts.batches.values()) {
    const { site } = at
    const limit = site.transfersPerDay
    if (limit === undefined || !transfer) continue
    for (const { id, on } of [transfer.transfer, ...furtherTransfers]) {
      const day = facts.dayOf(on)
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
        `site "${siteId}" starts ${ids.length} transfers, and can start ${limit} a day`,
        ...ids,
      ),
    )
}
