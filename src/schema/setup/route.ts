// Routes: their type, look-up, list and set-up mutations.
import type { CutOff } from '../../planner/documents/index.ts'
import { changeRoute, createRoute, MOST_DROPS, retireRoute } from '../../resolvers/setup/route.ts'
import { inUnit } from '../../sheets/volumes.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { BY_NAME, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, SiteSetupFilter, setupMutations, siteSetupWhere } from './setup.ts'
import { recorded, recordedList, setupInputs } from './setup-inputs.ts'
import { unitArg } from './volume.ts'

const CUT_OFF = 'Until when an order is in time for a day on which it leaves (B6). Absent: there is no cut-off.'
const CLOSED_ON = 'Days on which it does not leave (T2); at most 4,000.'

const DROPS = `Accounts that it serves, in the order in which it visits them; others come after them, by name. At most ${MOST_DROPS}.`

const DAYS_BEFORE = `${recorded('Route', 'cutOffDaysBefore').split(' Absent')[0]} 0 to 60.`
const AT = `${recorded('Route', 'cutOffAt').split(' Absent')[0]} Written HH:mm.`

const CutOffType = builder.objectRef<CutOff>('CutOff').implement({
  description: 'Until when an order is in time for a day on which a route leaves (B6).',
  fields: (t) => ({
    daysBefore: t.exposeInt('daysBefore', { description: DAYS_BEFORE }),
    at: t.exposeString('at', { description: AT }),
  }),
})

const CutOffInput = builder.inputType('CutOffInput', {
  description: 'Until when an order is in time for a day on which a route leaves (B6).',
  fields: (t) => ({
    daysBefore: t.int({ required: true, description: DAYS_BEFORE }),
    at: t.string({ required: true, description: AT }),
  }),
})

export const RouteType = builder.prismaNode('Route', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    site: t.relation('site', { description: 'The site that it belongs to.' }),
    name: t.exposeString('name'),
    weekdays: t.exposeIntList('weekdays', { description: recordedList('Route', 'weekdays', 7) }),
    transitDays: t.exposeInt('transitDays'),
    capacityLitres: t.exposeFloat('capacityLitres', { nullable: true }),
    capacity: t.float({
      nullable: true,
      description:
        'Nominal volume that one dispatch carries (D1); absent where there is no limit, in the unit asked for.',
      args: { unit: unitArg(t) },
      resolve: ({ capacityLitres }, { unit }) => (capacityLitres === null ? null : inUnit(capacityLitres, unit)),
    }),
    cutOff: t.field({
      type: CutOffType,
      nullable: true,
      description: CUT_OFF,
      select: { cutOffDaysBefore: true, cutOffAt: true },
      resolve: ({ cutOffDaysBefore: daysBefore, cutOffAt: at }) =>
        daysBefore === null || at === null ? null : { daysBefore, at },
    }),
    closedOn: t.field({
      type: ['LocalDate'],
      description: CLOSED_ON,
      select: { closures: { orderBy: { on: 'asc' } } },
      resolve: ({ closures }) => closures.map(({ on }) => on),
    }),
    drops: t.prismaField({
      type: ['Account'],
      description: DROPS,
      resolve: async (query, { distributorId, id: routeId }, _args, { client }) => {
        const places = await client.accountRoute.findMany({
          where: { distributorId, routeId, position: { not: null } },
          orderBy: { position: 'asc' },
        })
        const ids = places.map(({ accountId }) => accountId)
        const accounts = await client.account.findMany({ ...query, where: { distributorId, id: { in: ids } } })
        return ids.flatMap((id) => accounts.filter((each) => each.id === id))
      },
    }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  route: t.prismaField({ type: 'Route', ...lookUp('Route', ({ client }, found) => client.route.findUnique(found)) }),
  routes: t.prismaConnection(
    {
      type: 'Route',
      cursor: 'distributorId_id',
      ...listOf('routes', {
        filter: SiteSetupFilter,
        where: siteSetupWhere,
        order: BY_NAME,
        read: ({ client }, page) => client.route.findMany(page),
        count: ({ client }, where) => client.route.count({ where }),
      }),
    },
    ...pages('Route', 'routes'),
  ),
}))

setupMutations({
  kind: 'Route',
  payload: payloadOf('Route', (t) =>
    t.prismaField({ type: 'Route', ...written('Route', ({ client }, found) => client.route.findUniqueOrThrow(found)) }),
  ),
  ...setupInputs('Route', {
    externalRef: { type: 'String' },
    site: { type: ThingRefInput, needed: true, fixed: true, description: 'The site that it belongs to.' },
    name: { type: 'String', needed: true },
    weekdays: { type: ['Int'], needed: true, description: recordedList('Route', 'weekdays', 7) },
    transitDays: { type: 'Int', needed: true },
    capacityLitres: { type: 'Float' },
    cutOff: { type: CutOffInput, description: CUT_OFF },
    closedOn: { type: ['LocalDate'], description: CLOSED_ON },
    drops: { type: [ThingRefInput], description: DROPS },
  }),
  useCases: { create: createRoute, change: changeRoute, retire: retireRoute },
  retiring: 'It dispatches nothing more.',
})
