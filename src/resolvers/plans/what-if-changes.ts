// Changes that a scenario tries out: as callers name them, as the planner knows them, and in words.
import { z } from 'zod'
import { issue } from '../../errors.ts'
import type { ProblemChange } from '../../planner/documents/index.ts'
import { localDate, type Problem, problemShape } from '../../planner/documents/index.ts'
import { oneOf } from '../one-of.ts'
import { planned } from '../setup/limits.ts'
import { routeDayFaults } from '../setup/route-days.ts'
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

/** What finding a change needs: look-ups, names, and the problem that it would change. */
interface Finding {
  refs: References
  names: NamesOf
  problem: Problem
  now: Date
  path: string
}

type Find<Kind extends keyof Given> = (given: NonNullable<Given[Kind]>, finding: Finding) => Promise<FoundChange>

/** A change by the ids of rows, with words for it; an order line is placed `now` (B6). What is wrong is noted in `refs`, under `path`. */
export async function findChange(
  refs: References,
  names: NamesOf,
  given: Given,
  { problem, now }: { problem: Problem; now: Date },
  path: string,
): Promise<FoundChange> {
  const finding = { refs, names, problem, now, path }
  if (given.without) return withoutChange(given.without, finding)
  if (given.moreVessels) return moreVesselsChange(given.moreVessels, finding)
  if (given.vesselOut) return vesselOutChange(given.vesselOut, finding)
  if (given.anotherFiller) return anotherFillerChange(given.anotherFiller, finding)
  if (given.fillerMinutes) return fillerMinutesChange(given.fillerMinutes, finding)
  if (given.containers) return containersChange(given.containers, finding)
  if (given.storeLitres) return storeLitresChange(given.storeLitres, finding)
  if (given.route) return routeChange(given.route, finding)
  if (given.account) return accountChange(given.account, finding)
  if (given.site) return siteChange(given.site, finding)
  if (given.orderLine) return orderLineChange(given.orderLine, finding)
  throw new Error('a change that the shape lets pass has a field')
}

const withoutChange: Find<'without'> = async (given, { refs, names, problem, path }) => {
  const change = await findOneWithout(refs, given, problem, `${path}.without`)
  if (change.kind === 'VESSEL') return { change, words: `Without ${await names.of('vessel', change.vesselId)}` }
  if (change.kind === 'FILLER') return { change, words: `Without ${await names.of('filler', change.fillerId)}` }
  const where = change.siteId === undefined ? 'every site' : await names.of('site', change.siteId)
  return { change, words: `Closed on ${change.day}: ${where}` }
}

const moreVesselsChange: Find<'moreVessels'> = async (given, { refs, names, path }) => {
  const { like, count, capacityLitres, availableFrom } = given
  const likeId = await refs.id('Vessel', like, `${path}.moreVessels.like`)
  const [size, from] = [said(capacityLitres, (of) => ` of ${of} L`), said(availableFrom, (day) => ` from ${day}`)]
  const words = `${count} more like ${await names.of('vessel', likeId)}${size}${from}`
  return { change: { kind: 'MORE_VESSELS', likeId, count, capacityLitres, availableFrom }, words }
}

const vesselOutChange: Find<'vesselOut'> = async (given, { refs, names, path }) => {
  const { vessel, from, to } = given
  const vesselId = await refs.id('Vessel', vessel, `${path}.vesselOut.vessel`)
  if (from > to)
    refs.noteBeside(
      [`${path}.vesselOut.from`, `${path}.vesselOut.to`],
      issue(`${path}.vesselOut`, 'SPAN_REVERSED', `the span starts on ${from} and ends on ${to}`),
    )
  const words = `${await names.of('vessel', vesselId)} out from ${from} to ${to}`
  return { change: { kind: 'VESSEL_OUT', vesselId, from, to }, words }
}

const anotherFillerChange: Find<'anotherFiller'> = async (given, { refs, names, path }) => {
  const { like, minutesPerDay } = given
  const likeId = await refs.id('Filler', like, `${path}.anotherFiller.like`)
  const minutes = said(minutesPerDay, (each) => `, ${each} minutes a day`)
  const words = `One more filler like ${await names.of('filler', likeId)}${minutes}`
  return { change: { kind: 'ANOTHER_FILLER', likeId, minutesPerDay }, words }
}

const fillerMinutesChange: Find<'fillerMinutes'> = async (given, { refs, names, problem, path }) => {
  const { filler, minutes, on } = given
  const fillerId = await refs.id('Filler', filler, `${path}.fillerMinutes.filler`)
  if (on !== undefined) noteIfOutside(refs, problem, on, `${path}.fillerMinutes.on`)
  const words = `${signed(minutes)} minutes ${on ? `on ${on}` : 'a day'} for ${await names.of('filler', fillerId)}`
  return { change: { kind: 'FILLER_MINUTES', fillerId, minutes, on }, words }
}

const containersChange: Find<'containers'> = async (given, { refs, names, problem, path }) => {
  const { fleet, quantity: more, by } = given
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

const storeLitresChange: Find<'storeLitres'> = async (given, { refs, names, path }) => {
  const { store, litres } = given
  const storeId = await refs.id('Store', store, `${path}.storeLitres.store`)
  const { siteId, climate, name } = await names.store(storeId)
  return { change: { kind: 'STORE_LITRES', siteId, climate, litres }, words: `${signed(litres)} L in ${name}` }
}

const routeChange: Find<'route'> = async (given, { refs, names, path }) => {
  const { route, ...values } = given
  const routeId = await refs.id('Route', route, `${path}.route.route`)
  noteIfNothing(refs, values, `${path}.route`)
  const words = `${await names.of('route', routeId)}: ${valueWords(values)}`
  return { change: { kind: 'ROUTE', routeId, ...values }, words }
}

const accountChange: Find<'account'> = async (given, { refs, names, problem, path }) => {
  const { account, routes, receivesWeekdays } = given
  const accountId = await refs.id('Account', account, `${path}.account.account`)
  noteIfNothing(refs, { routes, receivesWeekdays }, `${path}.account`)
  const routeIds: string[] = []
  for (const [index, route] of (routes ?? []).entries())
    routeIds.push(await refs.id('Route', route, `${path}.account.routes[${index}]`))
  const differing = new Set(routeIds).size
  for (const each of routeDayFaults(differing, problem.horizonDays, `${path}.account.routes`)) refs.note(each)
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

const siteChange: Find<'site'> = async (given, { refs, names, path }) => {
  const { site, ...values } = given
  const siteId = await refs.id('Site', site, `${path}.site.site`)
  noteIfNothing(refs, values, `${path}.site`)
  const words = `${await names.of('site', siteId)}: ${valueWords(values)}`
  return { change: { kind: 'SITE', siteId, ...values }, words }
}

const orderLineChange: Find<'orderLine'> = async (given, { refs, names, problem, path, now }) => {
  const { account, pack, quantity: wanted, serveOn, promised } = given
  const accountId = await refs.id('Account', account, `${path}.orderLine.account`)
  const packId = await refs.id('Pack', pack, `${path}.orderLine.pack`)
  noteIfOutside(refs, problem, serveOn, `${path}.orderLine.serveOn`)
  const asked = { accountId, packId, quantity: wanted, serveOn, placedAt: now.toISOString() }
  const line = { ...asked, promisedOn: promised ? serveOn : undefined }
  const what = `${wanted} × ${await names.of('pack', packId)}`
  const words = `${what} for ${await names.of('account', accountId)} on ${serveOn}${promised ? ', promised' : ''}`
  return { change: { kind: 'ORDER_LINE', line }, words }
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
