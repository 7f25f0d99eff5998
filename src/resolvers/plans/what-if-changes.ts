// Changes that a scenario tries out: as callers name them, as the planner knows them, and in words.
import { z } from 'zod'
import { issue } from '../../errors.ts'
import type { ProblemChange } from '../../planner/documents/index.ts'
import { localDate, type Problem, problemShape } from '../../planner/documents/index.ts'
import { oneOf } from '../one-of.ts'
import { planned } from '../setup/limits.ts'
import { listOfWeekdays } from '../setup/shapes.ts'
import { type References, thingRef } from '../thing-ref.ts'
import type { NamesOf } from './names.ts'
import { findOneWithout, noteIfOutside, withoutShape } from './without.ts'

/** Most vessels that one change adds. */
export const MOST_MORE_VESSELS = 20
/** Most routes of an account. */
export const MOST_ROUTES = 50

const aLot = (most: number) => z.number().min(-most).max(most)
const { quantity } = problemShape.shape.orderLines.element.shape

export const changeShape = oneOf({
  without: withoutShape,
  moreVessels: z.strictObject({
    like: thingRef,
    count: z.int().min(1).max(MOST_MORE_VESSELS).default(1),
    capacityLitres: planned.vessel.capacityLitres.optional(),
    availableFrom: localDate.optional(),
  }),
  vesselOut: z.strictObject({ vessel: thingRef, from: localDate, to: localDate }),
  anotherFiller: z.strictObject({ like: thingRef, minutesPerDay: z.number().min(0).max(1440).optional() }),
  fillerMinutes: z.strictObject({ filler: thingRef, minutes: aLot(1440), on: localDate.optional() }),
  containers: z.strictObject({
    fleet: thingRef,
    quantity: z.int().min(-100_000).max(100_000),
    by: localDate.optional(),
  }),
  storeLitres: z.strictObject({ store: thingRef, litres: aLot(1_000_000) }),
  route: z.strictObject({
    route: thingRef,
    weekdays: listOfWeekdays.optional(),
    capacityLitres: planned.route.capacityLitres,
  }),
  account: z.strictObject({
    account: thingRef,
    routes: z.array(thingRef).max(MOST_ROUTES).optional(),
    receivesWeekdays: listOfWeekdays.optional(),
  }),
  site: z.strictObject({
    site: thingRef,
    brewsPerDay: planned.site.brewsPerDay.optional(),
    brewWeekdays: listOfWeekdays.optional(),
    fillWeekdays: listOfWeekdays.optional(),
  }),
  orderLine: z.strictObject({
    account: thingRef,
    pack: thingRef,
    quantity,
    serveOn: localDate,
    promised: z.boolean().default(false),
  }),
})

export interface FoundChange {
  change: ProblemChange
  words: string
}

type Given = z.infer<typeof changeShape>

/** A change by the ids of rows, with words for it; an order line is placed `now` (B6). What is wrong is noted in `refs`, under `path`. */
export async function findChange(
  refs: References,
  names: NamesOf,
  given: Given,
  { problem, now }: { problem: Problem; now: Date },
  path: string,
): Promise<FoundChange> {
  if (given.without) {
    const change = await findOneWithout(refs, given.without, problem, `${path}.without`)
    if (change.kind === 'VESSEL') return { change, words: `Without ${await names.of('vessel', change.vesselId)}` }
    if (change.kind === 'FILLER') return { change, words: `Without ${await names.of('filler', change.fillerId)}` }
    const where = change.siteId === undefined ? 'every site' : await names.of('site', change.siteId)
    return { change, words: `Closed on ${change.day}: ${where}` }
  }
  if (given.moreVessels) {
    const { like, count, capacityLitres, availableFrom } = given.moreVessels
    const likeId = await refs.id('Vessel', like, `${path}.moreVessels.like`)
    const [size, from] = [said(capacityLitres, (of) => ` of ${of} L`), said(availableFrom, (day) => ` from ${day}`)]
    const words = `${count} more like ${await names.of('vessel', likeId)}${size}${from}`
    return { change: { kind: 'MORE_VESSELS', likeId, count, capacityLitres, availableFrom }, words }
  }
  if (given.vesselOut) {
    const { vessel, from, to } = given.vesselOut
    const vesselId = await refs.id('Vessel', vessel, `${path}.vesselOut.vessel`)
    if (from > to)
      refs.noteBeside(
        [`${path}.vesselOut.from`, `${path}.vesselOut.to`],
        issue(`${path}.vesselOut`, 'SPAN_REVERSED', `the span starts on ${from} and ends on ${to}`),
      )
    const words = `${await names.of('vessel', vesselId)} out from ${from} to ${to}`
    return { change: { kind: 'VESSEL_OUT', vesselId, from, to }, words }
  }
  if (given.anotherFiller) {
    const { like, minutesPerDay } = given.anotherFiller
    const likeId = await refs.id('Filler', like, `${path}.anotherFiller.like`)
    const minutes = said(minutesPerDay, (each) => `, ${each} minutes a day`)
    const words = `One more filler like ${await names.of('filler', likeId)}${minutes}`
    return { change: { kind: 'ANOTHER_FILLER', likeId, minutesPerDay }, words }
  }
  if (given.fillerMinutes) {
    const { filler, minutes, on } = given.fillerMinutes
    const fillerId = await refs.id('Filler', filler, `${path}.fillerMinutes.filler`)
    if (on !== undefined) noteIfOutside(refs, problem, on, `${path}.fillerMinutes.on`)
    const words = `${signed(minutes)} minutes ${on ? `on ${on}` : 'a day'} for ${await names.of('filler', fillerId)}`
    return { change: { kind: 'FILLER_MINUTES', fillerId, minutes, on }, words }
  }
  if (given.containers) {
    const { fleet, quantity: more, by } = given.containers
    const fleetId = await refs.id('Fleet', fleet, `${path}.containers.fleet`)
    if (by !== undefined) {
      noteIfOutside(refs, problem, by, `${path}.containers.by`)
      if (more < 0)
        refs.noteBeside(
          [`${path}.containers.quantity`],
          issue(`${path}.containers.by`, 'NOT_BOTH', 'fewer containers are fewer from today on'),
        )
    }
    const { siteId, containerTypeId, name } = await names.fleet(fleetId)
    const words = `${signed(more)} ${name}${said(by, (day) => ` by ${day}`)}`
    return { change: { kind: 'CONTAINERS', siteId, containerTypeId, quantity: more, by }, words }
  }
  if (given.storeLitres) {
    const { store, litres } = given.storeLitres
    const storeId = await refs.id('Store', store, `${path}.storeLitres.store`)
    const { siteId, climate, name } = await names.store(storeId)
    return { change: { kind: 'STORE_LITRES', siteId, climate, litres }, words: `${signed(litres)} L in ${name}` }
  }
  if (given.route) {
    const { route, ...values } = given.route
    const routeId = await refs.id('Route', route, `${path}.route.route`)
    noteIfNothing(refs, values, `${path}.route`)
    const words = `${await names.of('route', routeId)}: ${valueWords(values)}`
    return { change: { kind: 'ROUTE', routeId, ...values }, words }
  }
  if (given.account) {
    const { account, routes, receivesWeekdays } = given.account
    const accountId = await refs.id('Account', account, `${path}.account.account`)
    noteIfNothing(refs, { routes, receivesWeekdays }, `${path}.account`)
    const routeIds: string[] = []
    for (const [index, route] of (routes ?? []).entries())
      routeIds.push(await refs.id('Route', route, `${path}.account.routes[${index}]`))
    const routeNames: string[] = []
    for (const routeId of routeIds) routeNames.push(await names.of('route', routeId))
    const said = valueWords({ routes: routes ? routeNames : undefined, receivesWeekdays })
    const change: ProblemChange = {
      kind: 'ACCOUNT',
      accountId,
      routeIds: routes ? routeIds : undefined,
      receivesWeekdays,
    }
    return { change, words: `${await names.of('account', accountId)}: ${said}` }
  }
  if (given.site) {
    const { site, ...values } = given.site
    const siteId = await refs.id('Site', site, `${path}.site.site`)
    noteIfNothing(refs, values, `${path}.site`)
    const words = `${await names.of('site', siteId)}: ${valueWords(values)}`
    return { change: { kind: 'SITE', siteId, ...values }, words }
  }
  if (given.orderLine) {
    const { account, pack, quantity: wanted, serveOn, promised } = given.orderLine
    const accountId = await refs.id('Account', account, `${path}.orderLine.account`)
    const packId = await refs.id('Pack', pack, `${path}.orderLine.pack`)
    noteIfOutside(refs, problem, serveOn, `${path}.orderLine.serveOn`)
    const asked = { accountId, packId, quantity: wanted, serveOn, placedAt: now.toISOString() }
    const line = { ...asked, promisedOn: promised ? serveOn : undefined }
    const what = `${wanted} × ${await names.of('pack', packId)}`
    const words = `${what} for ${await names.of('account', accountId)} on ${serveOn}${promised ? ', promised' : ''}`
    return { change: { kind: 'ORDER_LINE', line }, words }
  }
  throw new Error('a change that the shape lets pass has a field')
}

function noteIfNothing(refs: References, values: object, path: string): void {
  if (Object.values(values).every((value) => value === undefined)) refs.note(issue(path, 'NOTHING_TO_CHANGE'))
}

function said<Value>(value: Value | undefined, words: (value: Value) => string): string {
  return value === undefined ? '' : words(value)
}

function signed(amount: number): string {
  return amount < 0 ? `${-amount} fewer` : `${amount} more`
}

/** New values by field, such as `weekdays 2, 4`. */
function valueWords(values: Record<string, number | readonly (number | string)[] | undefined>): string {
  return Object.entries(values)
    .flatMap(([field, value]) =>
      value === undefined ? [] : [`${field} ${typeof value === 'number' ? value : value.join(', ') || 'none'}`],
    )
    .join('; ')
}
