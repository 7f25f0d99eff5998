// What the shape of a problem's set-up (sites, vessels, beers, fillers, routes, accounts …) cannot say about itself.
import { type Fault, fault, writePath } from './faults.ts'
import type { Readable } from './readable.ts'
import { checkReference, type KnownIds } from './references.ts'

/** Faults of everything that is set up once: calendars, vessels, beers and packs, fillers, fleets, stores, routes, accounts. */
export function setupFaults(problem: Readable, known: KnownIds): Fault[] {
  const faults: Fault[] = []
  const refer = (kind: keyof KnownIds, id: string, path: string) => checkReference(known[kind], kind, id, path, faults)

  for (const { at, value: site } of problem.sites.entries)
    if (!isTimeZone(site.timeZone))
      faults.push(fault(`${at}.timeZone`, 'UNKNOWN_TIME_ZONE', `there is no time zone "${site.timeZone}"`))

  for (const { at, value: vessel } of problem.vessels.entries) {
    refer('site', vessel.siteId, `${at}.siteId`)
    if (vessel.minFillLitres > vessel.capacityLitres)
      faults.push(
        fault(
          `${at}.minFillLitres`,
          'MINIMUM_ABOVE_CAPACITY',
          `the smallest fill, ${vessel.minFillLitres} L, is more than the capacity, ${vessel.capacityLitres} L`,
        ),
      )
    vessel.outOfService?.forEach(({ from, to }, index) => {
      if (from > to)
        faults.push(
          fault(`${at}.outOfService[${index}]`, 'SPAN_REVERSED', `the span starts on ${from} and ends on ${to}`),
        )
    })
  }

  for (const { at, value: beer } of problem.beers.entries) {
    beer.vesselIds?.forEach((id, index) => {
      refer('vessel', id, `${at}.vesselIds[${index}]`)
    })
    beer.packs.forEach((pack, index) => {
      refer('container type', pack.containerTypeId, `${at}.packs[${index}].containerTypeId`)
    })
  }

  for (const { at, value: filler } of problem.fillers.entries) {
    refer('site', filler.siteId, `${at}.siteId`)
    if (typeof filler.setupMinutes !== 'number')
      for (const beerId of Object.keys(filler.setupMinutes))
        refer('beer', beerId, `${at}.${underKey('setupMinutes', beerId)}`)
    for (const typeId of Object.keys(filler.minutesEach))
      refer('container type', typeId, `${at}.${underKey('minutesEach', typeId)}`)
  }

  const fleets = new Set<string>()
  for (const { at, value: fleet } of problem.fleets.entries) {
    refer('site', fleet.siteId, `${at}.siteId`)
    refer('container type', fleet.containerTypeId, `${at}.containerTypeId`)
    if (isRepeated(fleets, fleet.siteId, fleet.containerTypeId))
      faults.push(fault(at, 'DUPLICATE_FLEET', `site "${fleet.siteId}" has two fleets of "${fleet.containerTypeId}"`))
  }

  const stores = new Set<string>()
  for (const { at, value: store } of problem.stores.entries) {
    refer('site', store.siteId, `${at}.siteId`)
    if (isRepeated(stores, store.siteId, store.climate))
      faults.push(fault(at, 'DUPLICATE_STORE', `site "${store.siteId}" has two ${store.climate} stores`))
  }

  for (const { at, value: route } of problem.routes.entries) refer('site', route.siteId, `${at}.siteId`)

  for (const { at, value: account } of problem.accounts.entries)
    account.routeIds.forEach((id, index) => {
      refer('route', id, `${at}.routeIds[${index}]`)
    })

  return faults
}

function underKey(map: string, key: string): string {
  return writePath([map, key])
}

function isRepeated(seen: Set<string>, ...parts: string[]): boolean {
  const key = JSON.stringify(parts)
  if (seen.has(key)) return true
  seen.add(key)
  return false
}

/** Whether the IANA database has a zone of this name. */
export function isTimeZone(name: string): boolean {
  try {
    new Intl.DateTimeFormat('en-GB', { timeZone: name })
    return true
  } catch {
    return false
  }
}
