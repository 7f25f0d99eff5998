// Everything that is due at a site on a day: what the plan has for it, what the cellar needs, vessels to clean, containers to
// wash, beer that must move soon, and what was said to be done.
import { z } from 'zod'
import { dayOf } from '../../database/calendar-day.ts'
import { addDays, localDate } from '../../planner/documents/index.ts'
import { emptyBy } from '../../planner/index.ts'
import { type DueWork, type Today, todaySheet } from '../../sheets/today.ts'
import type { Actor } from '../actor.ts'
import { fleetPlacesOn } from '../floor/containers.ts'
import { unconfirmedWhere } from '../floor/fact-filter.ts'
import { readInput } from '../read-input.ts'
import { thingRef } from '../thing-ref.ts'
import { cellarWork } from './cellar-work.ts'
import { doneWork } from './done-work.ts'
import { headOf, type SheetSession, type SiteRow, siteAsked, withSheetRecords } from './sheet-session.ts'

const shape = z.strictObject({ site: thingRef, day: localDate.optional() })

/** Beer that must leave its vessel within so many days is listed. */
const DAYS_AHEAD = 7

/** What is due. `day` absent: the site's today. Throws `InvalidInput`, `NotFound`. */
export async function readToday(actor: Actor, input: unknown): Promise<Today> {
  const reading = readInput(shape, input)
  return withSheetRecords(actor, async (session) => {
    const site = await siteAsked(session, reading)
    const head = headOf(actor, session, site, reading.given.day)
    const work = [
      ...plannedWork(session, site, head.day),
      ...(await cellarWork(session, site, head.day)),
      ...(await vesselsToClean(session, site, head.day)),
      ...mustMove(session, site, head.day),
      ...(head.day === session.today ? await toWash(session, site.id) : []),
      ...(await doneWork(session, site.id, head.day)),
    ]
    const { tx, distributorId } = session
    const toConfirm = await tx.fact.count({ where: { ...unconfirmedWhere(distributorId), siteId: site.id } })
    return todaySheet({ head, work, toConfirm })
  })
}

/** Brews, fills, transfers, what is poured away, and routes that leave. */
function plannedWork({ facts }: SheetSession, { id: siteId }: SiteRow, day: string): DueWork[] {
  const { plan } = facts
  const isHere = (vesselId: string | undefined) => facts.vessels.get(vesselId ?? '')?.siteId === siteId
  const placeOf = (batchId: string) => {
    const batch = facts.batches.get(batchId)
    const number = facts.dayOf(day)
    const stay = batch?.stays.findLast(({ enters }) => enters < number) ?? batch?.stays[0]
    return { batchId, beerId: batch?.beer.id ?? '', vesselId: stay?.vessel.id ?? '' }
  }
  return [
    ...plan.brews
      .filter(({ brewOn, vesselId }) => brewOn === day && isHere(vesselId))
      .map(({ id, beerId, vesselId, litres }): DueWork => ({ kind: 'BREW', decisionId: id, beerId, vesselId, litres })),
    ...facts.runs
      .filter(({ run, stay }) => run.on === day && isHere(stay.vessel.id))
      .map(
        ({ run: { id, batchId, fillerId, packId, quantity }, batch, stay, of }): DueWork => ({
          ...{ kind: stay.in === 'FERMENTER' ? 'FILL_FROM_FERMENTER' : 'FILL_FROM_BRIGHT', decisionId: id },
          ...{ batchId, beerId: batch.beer.id, vesselId: stay.vessel.id, fillerId, packId, quantity },
          litres: quantity * of.drawLitres,
        }),
      ),
    ...plan.dumped
      .filter(({ on, batchId }) => on === day && isHere(placeOf(batchId).vesselId))
      .map(({ batchId, litres }): DueWork => ({ kind: 'DUMP', ...placeOf(batchId), litres })),
    ...plan.transfers
      .filter(({ on, toVesselId }) => on === day && isHere(toVesselId))
      .map(
        ({ id, batchId, toVesselId, litres }): DueWork => ({
          ...{ kind: 'TRANSFER', decisionId: id, ...placeOf(batchId), toVesselId, litres },
        }),
      ),
    ...loads(facts, siteId, day),
  ]
}

function loads(facts: SheetSession['facts'], siteId: string, day: string): DueWork[] {
  const byRoute = new Map<string, DueWork & { quantity: number; litres: number }>()
  for (const { route, dispatch, quantity, litres } of facts.deliveries) {
    if (route.siteId !== siteId || facts.dateOf(dispatch) !== day) continue
    const load = byRoute.get(route.id) ?? { kind: 'LOAD', routeId: route.id, quantity: 0, litres: 0 }
    byRoute.set(route.id, { ...load, quantity: load.quantity + quantity, litres: load.litres + litres })
  }
  return [...byRoute.values()]
}

/**
 * Vessels that were emptied so lately that their turnaround lasts on the day (V3), by the plan or by what happened, and that were
 * not said to be cleaned since. Without any turnaround they are cleaned on the day on which they are emptied.
 */
async function vesselsToClean(
  { tx, distributorId, facts }: SheetSession,
  site: SiteRow,
  day: string,
): Promise<DueWork[]> {
  const rows = await tx.vessel.findMany({
    where: { distributorId, siteId: site.id, retiredAt: null },
    orderBy: { name: 'asc' },
  })
  const emptied = new Map<string, string[]>()
  for (const batch of facts.batches.values())
    for (const { vessel, emptiedOn } of batch.stays)
      if (emptiedOn !== undefined) emptied.set(vessel.id, [...(emptied.get(vessel.id) ?? []), facts.dateOf(emptiedOn)])
  return rows.flatMap(({ id, emptiedOn, cleanedOn, turnaroundDays }): DueWork[] => {
    const said = emptiedOn && !cleanedOn ? [dayOf(emptiedOn)] : []
    const last = [...(emptied.get(id) ?? []), ...said]
      .filter((on) => on <= day && day <= addDays(on, turnaroundDays))
      .sort()
      .at(-1)
    if (last === undefined) return []
    return [
      {
        ...{ kind: 'CLEAN_VESSEL', vesselId: id, by: addDays(last, turnaroundDays) },
        ...(last < day ? { since: last } : {}),
      },
    ]
  })
}

/** Beer that stands in a vessel on the day and must be out of it within a week (V5); beer that is kept back has no such day. */
function mustMove({ facts }: SheetSession, { id: siteId }: SiteRow, day: string): DueWork[] {
  const number = facts.dayOf(day)
  return [...facts.batches.values()]
    .filter(({ quarantined }) => !quarantined)
    .flatMap((batch) =>
      batch.stays.flatMap((stay) => {
        const by = emptyBy(batch, stay)
        const stands = stay.enters <= number && (stay.emptiedOn ?? Number.POSITIVE_INFINITY) >= number
        if (stay.vessel.siteId !== siteId || !stands || by > number + DAYS_AHEAD) return []
        return {
          ...{ kind: 'MOVE_BEER' as const, batchId: batch.id, beerId: batch.beer.id, vesselId: stay.vessel.id },
          by: facts.dateOf(by),
        }
      }),
    )
}

/** Containers of a site that came back and were not said to be washed. */
async function toWash({ tx, distributorId, today: day }: SheetSession, siteId: string): Promise<DueWork[]> {
  const fleets = await fleetPlacesOn(tx, distributorId, day, { siteId })
  return fleets.flatMap(({ containerTypeId, dirty, washing }) =>
    dirty + washing === 0 ? [] : [{ kind: 'WASH', containerTypeId, quantity: dirty + washing } satisfies DueWork],
  )
}
