// The calendar of a site from the records: what the plan in force has for it, and what was said of the last weeks.
import { z } from 'zod'
import { dateOf } from '../../database/calendar-day.ts'
import type { Fact } from '../../floor/facts/fact.ts'
import { addDays } from '../../planner/documents/index.ts'
import type { Calendar } from '../../print/icalendar.ts'
import { EFFECTIVE, factOf } from '../../records/fact-rows.ts'
import { readNames } from '../../records/names.ts'
import { byId } from '../../records/sheet-records.ts'
import { calendarEvents, type PlannedEvent } from '../../sheets/plan-calendar.ts'
import type { Actor } from '../actor.ts'
import { readInput } from '../read-input.ts'
import { thingRef } from '../thing-ref.ts'
import { headOf, type SheetSession, siteAsked, withSheetRecords } from './sheet-session.ts'

const shape = z.strictObject({ site: thingRef })

/** What was done stays in the calendar for so many days. */
const DAYS_BACK = 28

/** The calendar of a site. Throws `InvalidInput`, `NotFound`. */
export async function readPlanCalendar(actor: Actor, input: unknown): Promise<Calendar> {
  const reading = readInput(shape, input)
  return withSheetRecords(actor, async (session) => {
    const site = await siteAsked(session, reading)
    const { siteName, revision, madeAt, day } = headOf(actor, session, site, undefined)
    const { tx, distributorId } = session
    const planned = [...plannedWork(session, site.id), ...(await saidWork(session, site.id, addDays(day, -DAYS_BACK)))]
    const merged = await withAccountNames(session, withOneLoadADay(planned))
    const nameOf = await readNames(
      tx,
      distributorId,
      merged.flatMap(({ batchId }) => batchId ?? []),
    )
    const events = calendarEvents(merged, distributorId, nameOf)
    return { name: siteName, place: siteName, revision, madeAt, events }
  })
}

/** Brews, transfers, fills and deliveries of the plan in force at the site. */
function plannedWork({ facts }: SheetSession, siteId: string): PlannedEvent[] {
  const { plan } = facts
  const isHere = (vesselId: string) => facts.vessels.get(vesselId)?.siteId === siteId
  return [
    ...plan.brews
      .filter(({ vesselId }) => isHere(vesselId))
      .map(
        ({ id, beerId, vesselId, litres, brewOn: day }): PlannedEvent => ({
          ...{ kind: 'BREW', key: `brew-${id}`, day, batchId: id, beerId, vesselId, litres },
        }),
      ),
    ...plan.transfers
      .filter(({ toVesselId }) => isHere(toVesselId))
      .map(
        ({ id, batchId, toVesselId: vesselId, litres, on: day }): PlannedEvent => ({
          ...{ kind: 'TRANSFER', key: `transfer-${id}`, day, batchId, vesselId, litres },
          beerId: facts.batches.get(batchId)?.beer.id ?? '',
        }),
      ),
    ...facts.runs
      .filter(({ stay }) => stay.vessel.siteId === siteId)
      .map(
        ({ run: { id, on: day, batchId, fillerId, packId, quantity }, stay }): PlannedEvent => ({
          ...{ kind: 'FILL', key: `fill-${id}`, day, batchId, fillerId, packId, quantity, vesselId: stay.vessel.id },
        }),
      ),
    ...facts.deliveries
      .filter(({ route }) => route.siteId === siteId)
      .map(
        ({ route: { id: routeId }, account, dispatch, quantity, litres }): PlannedEvent => ({
          ...load(routeId, facts.dateOf(dispatch)),
          ...{ quantity, litres, accounts: [account.id] },
        }),
      ),
  ]
}

const load = (routeId: string, day: string) =>
  ({ kind: 'DELIVERY', key: `load-${routeId}-${day}`, routeId, day }) as const

const SAID = ['BREWED', 'TRANSFERRED', 'FILLED', 'DISPATCHED']

/** What facts say of the site since a day. */
async function saidWork({ tx, distributorId }: SheetSession, siteId: string, from: string): Promise<PlannedEvent[]> {
  const rows = await tx.fact.findMany({
    where: { distributorId, siteId, ...EFFECTIVE, kind: { in: SAID }, on: { gte: dateOf(from) } },
    orderBy: { number: 'asc' },
  })
  const facts = rows.map((row) => ({ fact: factOf(row), decisionId: row.decisionId ?? row.id }))
  const lineIds = facts.flatMap(({ fact }) => (fact.kind === 'DISPATCHED' ? fact.data.orderLineId : []))
  const lines = byId(
    await tx.orderLine.findMany({
      where: { distributorId, id: { in: lineIds } },
      include: { pack: { include: { containerType: true } } },
    }),
  )
  const batchIds = facts.flatMap(({ fact }) => (fact.kind === 'TRANSFERRED' ? fact.data.batchId : []))
  const batches = byId(await tx.batch.findMany({ where: { distributorId, id: { in: batchIds } } }))
  return facts.flatMap(({ fact, decisionId }) => {
    const event = eventOf(fact, decisionId, { lines, batches })
    return event ? { ...event, isSaid: !fact.assumed } : []
  })
}

/** What facts only name. */
interface Named {
  lines: ReadonlyMap<string, { pack: { containerType: { nominalLitres: number } } }>
  batches: ReadonlyMap<string, { beerId: string }>
}

function eventOf(fact: Fact, decisionId: string, { lines, batches }: Named): PlannedEvent | undefined {
  const { day } = fact
  switch (fact.kind) {
    case 'BREWED': {
      const { batchId, beerId, vesselId, ml } = fact.data
      return { kind: 'BREW', key: `brew-${batchId}`, day, batchId, beerId, vesselId, litres: ml / 1000 }
    }
    case 'TRANSFERRED': {
      const { batchId, toVesselId: vesselId } = fact.data
      const beerId = batches.get(batchId)?.beerId ?? ''
      return { kind: 'TRANSFER', key: `transfer-${decisionId}`, day, batchId, beerId, vesselId }
    }
    case 'FILLED': {
      const { batchId, packId, quantity } = fact.data
      return { kind: 'FILL', key: `fill-${decisionId}`, day, batchId, packId, quantity }
    }
    case 'DISPATCHED': {
      const { routeId, orderLineId, accountId, lots } = fact.data
      const quantity = lots.reduce((sum, each) => sum + each.quantity, 0)
      const litres = quantity * (lines.get(orderLineId)?.pack.containerType.nominalLitres ?? 0)
      return { ...load(routeId, day), quantity, litres, accounts: [accountId] }
    }
    default:
      return undefined
  }
}

/** All that leaves on a route on a day is one event: said where all of it was said. */
function withOneLoadADay(events: readonly PlannedEvent[]): PlannedEvent[] {
  const loads = new Map<string, PlannedEvent>()
  for (const event of events.filter(({ kind }) => kind === 'DELIVERY')) {
    const known = loads.get(event.key)
    loads.set(event.key, known ? added(known, event) : event)
  }
  return [...events.filter(({ kind }) => kind !== 'DELIVERY'), ...loads.values()]
}

function added(known: PlannedEvent, event: PlannedEvent): PlannedEvent {
  const { isSaid: _, ...rest } = known
  const said = [known.isSaid, event.isSaid]
  return {
    ...rest,
    quantity: (known.quantity ?? 0) + (event.quantity ?? 0),
    litres: (known.litres ?? 0) + (event.litres ?? 0),
    accounts: [...new Set([...(known.accounts ?? []), ...(event.accounts ?? [])])],
    ...(said.includes(undefined) ? {} : { isSaid: said.every(Boolean) }),
  }
}

/** Accounts by their names in place of their ids, in the order of the names. */
async function withAccountNames({ tx, distributorId }: SheetSession, events: readonly PlannedEvent[]) {
  const ids = [...new Set(events.flatMap(({ accounts = [] }) => accounts))]
  const rows = byId(await tx.account.findMany({ where: { distributorId, id: { in: ids } } }))
  return events.map((event) =>
    event.accounts ? { ...event, accounts: event.accounts.map((id) => rows.get(id)?.name ?? id).sort() } : event,
  )
}
