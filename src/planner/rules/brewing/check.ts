// V1 and V2: how many brews a day, and how much into which fermenter.
import { brewsOf } from '../../documents/brews.ts'
import { mostBrews } from '../../documents/day-limits.ts'
import { LITRE_TOLERANCE } from '../../documents/tolerances.ts'
import type { Facts } from '../../facts/facts.ts'
import { showLitres, type Violation, violation, violationOn } from '../../facts/violation.ts'

/** V1: a site makes no more brews on a day than it has for it; a batch takes as many as its litres need, all on its brew day. */
export function brewsPerDay(facts: Facts): Violation[] {
  const made = new Map<string, { siteId: string; day: number; brews: number; limit: number; ids: string[] }>()
  for (const batch of facts.batches.values()) {
    if (!batch.brew) continue
    const { site } = batch.site
    const day = facts.dayOf(batch.brew.brewOn)
    const key = JSON.stringify([site.id, day])
    const sum = made.get(key) ?? { siteId: site.id, day, brews: 0, limit: mostBrews(site, batch.brew.brewOn), ids: [] }
    sum.brews += brewsOf(batch.brew.litres, site.brewLitres)
    sum.ids.push(batch.id)
    made.set(key, sum)
  }
  return [...made.values()]
    .filter(({ brews, limit }) => brews > limit)
    .map(({ siteId, day, brews, limit, ids }) =>
      violationOn(day, facts, 'V1', `site "${siteId}" makes ${brews} brews, and can make ${limit} on the day`, ...ids),
    )
}

/** V2: a brew goes into a fermenter that its beer allows, between the vessel's smallest fill and its capacity. */
export function brewVolumes(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { id, brew, beer, stays } of facts.batches.values()) {
    const vessel = stays[0]?.vessel
    if (!brew || !vessel) continue
    const say = (message: string) => found.push(violation('V2', message, id, vessel.id))
    if (vessel.kind !== 'FERMENTER') say(`brew "${id}" goes into "${vessel.id}", which is no fermenter`)
    if (beer.vesselIds && !beer.vesselIds.includes(vessel.id)) say(`beer "${beer.id}" may not be in "${vessel.id}"`)
    if (brew.litres < vessel.minFillLitres - LITRE_TOLERANCE)
      say(
        `brew "${id}" of ${showLitres(brew.litres)} is less than the smallest fill ${showLitres(vessel.minFillLitres)}`,
      )
    if (brew.litres > vessel.capacityLitres + LITRE_TOLERANCE)
      say(`brew "${id}" of ${showLitres(brew.litres)} is more than the capacity ${showLitres(vessel.capacityLitres)}`)
  }
  return found
}
