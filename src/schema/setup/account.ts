// Accounts: their type, look-up, list and set-up mutations.

import { changeAccount, createAccount, retireAccount } from '../../resolvers/setup/account.ts'
import type { Written } from '../../resolvers/setup/noun.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { RouteType } from './route.ts'
import { byArg, idOf, revisionField, rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
import { recordedList, setupInputs } from './setup-inputs.ts'

const ROUTES = 'The routes that serve it (B2); at most 50.'

builder.prismaNode('Account', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    name: t.exposeString('name'),
    routes: t.field({
      type: [RouteType],
      description: ROUTES,
      select: (_args, _context, nested) => ({
        routes: { select: { route: nested({}) }, orderBy: { routeId: 'asc' } },
      }),
      resolve: ({ routes }) => routes.map(({ route }) => route),
    }),
    receivesWeekdays: t.exposeIntList('receivesWeekdays', {
      description: recordedList('Account', 'receivesWeekdays', 7),
    }),
    settleDays: t.exposeInt('settleDays', { nullable: true }),
    minDaysOnSale: t.exposeInt('minDaysOnSale'),
    maxEarlyDays: t.exposeInt('maxEarlyDays'),
    returnDays: t.exposeInt('returnDays', { nullable: true }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  account: t.prismaField({
    ...needs('any', 'One account.'),
    type: 'Account',
    nullable: true,
    args: { by: byArg(t) },
    resolve: async (query, _root, { by }, context) =>
      context.client.account.findUnique({ ...query, where: rowKey(context, await idOf(context, 'Account', by)) }),
  }),
  accounts: t.prismaConnection(
    {
      ...needs('any', 'Accounts in order of name.'),
      type: 'Account',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: SetupFilter, description: 'Which accounts. Absent: all.' }) },
      resolve: (query, _root, args, context) =>
        context.client.account.findMany({
          ...query,
          where: setupWhere(context, args),
          orderBy: [{ name: 'asc' }, { id: 'asc' }],
        }),
      totalCount: (_root, args, context) => context.client.account.count({ where: setupWhere(context, args) }),
    },
    ...pages('Account', 'accounts'),
  ),
}))

setupMutations({
  kind: 'Account',
  words: 'an account',
  payload: builder.objectRef<Written>('AccountPayload').implement({
    description: 'An account that was written.',
    fields: (t) => ({
      revision: revisionField(t),
      account: t.prismaField({
        type: 'Account',
        description: 'The account as it is now.',
        resolve: (query, { id }, _args, context) =>
          context.client.account.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
      }),
    }),
  }),
  ...setupInputs('Account', 'account', {
    externalRef: { type: 'String' },
    name: { type: 'String', needed: true },
    routes: { type: [ThingRefInput], needed: true, description: ROUTES },
    receivesWeekdays: { type: ['Int'], description: recordedList('Account', 'receivesWeekdays', 7) },
    settleDays: { type: 'Int' },
    minDaysOnSale: { type: 'Int' },
    maxEarlyDays: { type: 'Int' },
    returnDays: { type: 'Int' },
  }),
  useCases: { create: createAccount, change: changeAccount, retire: retireAccount },
  retiring: 'It places no new orders.',
})
