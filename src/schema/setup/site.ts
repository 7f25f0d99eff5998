// Sites: their type, look-up, list and set-up mutations.
import type { Written } from '../../resolvers/setup/noun.ts'
import { changeSite, createSite, retireSite } from '../../resolvers/setup/site.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { byArg, idOf, revisionField, rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
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
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  site: t.prismaField({
    ...needs('any', 'One site.'),
    type: 'Site',
    nullable: true,
    args: { by: byArg(t) },
    resolve: async (query, _root, { by }, context) =>
      context.client.site.findUnique({ ...query, where: rowKey(context, await idOf(context, 'Site', by)) }),
  }),
  sites: t.prismaConnection(
    {
      ...needs('any', 'Sites in order of name.'),
      type: 'Site',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: SetupFilter, description: 'Which sites. Absent: all.' }) },
      resolve: (query, _root, args, context) =>
        context.client.site.findMany({
          ...query,
          where: setupWhere(context, args),
          orderBy: [{ name: 'asc' }, { id: 'asc' }],
        }),
      totalCount: (_root, args, context) => context.client.site.count({ where: setupWhere(context, args) }),
    },
    ...pages('Site', 'sites'),
  ),
}))

setupMutations({
  kind: 'Site',
  words: 'a site',
  payload: builder.objectRef<Written>('SitePayload').implement({
    description: 'A site that was written.',
    fields: (t) => ({
      revision: revisionField(t),
      site: t.prismaField({
        type: 'Site',
        description: 'The site as it is now.',
        resolve: (query, { id }, _args, context) =>
          context.client.site.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
      }),
    }),
  }),
  ...setupInputs('Site', 'site', {
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
  }),
  useCases: { create: createSite, change: changeSite, retire: retireSite },
  retiring: 'Nothing new is planned there; what stands there may still be filled and sent.',
})
