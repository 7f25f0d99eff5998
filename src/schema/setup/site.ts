// Sites: their type, look-up, list and set-up mutations.
import { changeSite, createSite, retireSite } from '../../resolvers/setup/site.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { UnsaidWork } from '../words.ts'
import { BY_NAME, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
import { recordedList, setupInputs } from './setup-inputs.ts'

const CLOSED_ON = 'Days on which the site is closed: no brew, fill, transfer or dispatch (T2); at most 4,000.'

builder.prismaNode('Site', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    name: t.exposeString('name'),
    timeZone: t.exposeString('timeZone'),
    brewWeekdays: t.exposeIntList('brewWeekdays', { description: recordedList('Site', 'brewWeekdays', 7) }),
    fillWeekdays: t.exposeIntList('fillWeekdays', { description: recordedList('Site', 'fillWeekdays', 7) }),
    closedOn: t.field({
      type: ['LocalDate'],
      description: CLOSED_ON,
      select: { closures: { orderBy: { on: 'asc' } } },
      resolve: ({ closures }) => closures.map(({ on }) => on),
    }),
    brewsPerDay: t.exposeInt('brewsPerDay'),
    transfersPerDay: t.exposeInt('transfersPerDay', { nullable: true }),
    brewLitres: t.exposeFloat('brewLitres', { nullable: true }),
    brewEnds: t.exposeString('brewEnds'),
    fillStarts: t.exposeString('fillStarts'),
    dayEnds: t.exposeString('dayEnds'),
    unsaidWork: t.expose('unsaidWork', { type: UnsaidWork }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  site: t.prismaField({ type: 'Site', ...lookUp('Site', ({ client }, found) => client.site.findUnique(found)) }),
  sites: t.prismaConnection(
    {
      type: 'Site',
      cursor: 'distributorId_id',
      ...listOf('sites', {
        filter: SetupFilter,
        where: setupWhere,
        order: BY_NAME,
        read: ({ client }, page) => client.site.findMany(page),
        count: ({ client }, where) => client.site.count({ where }),
      }),
    },
    ...pages('Site', 'sites'),
  ),
}))

setupMutations({
  kind: 'Site',
  payload: payloadOf('Site', (t) =>
    t.prismaField({ type: 'Site', ...written('Site', ({ client }, found) => client.site.findUniqueOrThrow(found)) }),
  ),
  ...setupInputs('Site', {
    externalRef: { type: 'String' },
    name: { type: 'String', needed: true },
    timeZone: { type: 'String', needed: true },
    brewWeekdays: { type: ['Int'], needed: true, description: recordedList('Site', 'brewWeekdays', 7) },
    fillWeekdays: { type: ['Int'], needed: true, description: recordedList('Site', 'fillWeekdays', 7) },
    closedOn: { type: ['LocalDate'], description: CLOSED_ON },
    brewsPerDay: { type: 'Int', needed: true },
    transfersPerDay: { type: 'Int' },
    brewLitres: { type: 'Float' },
    brewEnds: { type: 'String', needed: true },
    fillStarts: { type: 'String', needed: true },
    dayEnds: { type: 'String' },
    unsaidWork: { type: UnsaidWork },
  }),
  useCases: { create: createSite, change: changeSite, retire: retireSite },
  retiring: 'Nothing new is planned there; what stands there may still be filled and sent.',
})
