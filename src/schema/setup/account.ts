// Accounts: their type, look-up, list and set-up mutations.

import { changeAccount, createAccount, MOST_WINDOWS, retireAccount } from '../../resolvers/setup/account.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { BY_NAME, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { RouteType } from './route.ts'
import { rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
import { recorded, recordedList, setupInputs } from './setup-inputs.ts'

const ROUTES = 'The routes that serve it (B2); at most 50, and times the days that plans reach at most 4,000.'

const WINDOWS = `When it takes deliveries; at most ${MOST_WINDOWS}. Empty: at any time.`

const WINDOW_WORDS = {
  weekdays: recordedList('AccountWindow', 'weekdays', 7),
  from: recorded('AccountWindow', 'from'),
  to: recorded('AccountWindow', 'to'),
}

const AccountWindowType = builder
  .objectRef<{ weekdays: number[]; from: string; to: string }>('AccountWindow')
  .implement({
    description: 'Hours in which an account takes deliveries.',
    fields: (t) => ({
      weekdays: t.exposeIntList('weekdays', { description: WINDOW_WORDS.weekdays }),
      from: t.exposeString('from', { description: WINDOW_WORDS.from }),
      to: t.exposeString('to', { description: WINDOW_WORDS.to }),
    }),
  })

const AccountWindowInput = builder.inputType('AccountWindowInput', {
  description: 'Hours in which an account takes deliveries.',
  fields: (t) => ({
    weekdays: t.intList({ description: `${WINDOW_WORDS.weekdays} Absent: every day.` }),
    from: t.string({ required: true, description: WINDOW_WORDS.from }),
    to: t.string({ required: true, description: `${WINDOW_WORDS.to} Later than \`from\`.` }),
  }),
})

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
    notes: t.exposeString('notes', { nullable: true }),
    windows: t.field({
      type: [AccountWindowType],
      description: WINDOWS,
      select: { windows: { orderBy: { n: 'asc' } } },
      resolve: ({ windows }) => windows,
    }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  account: t.prismaField({
    type: 'Account',
    ...lookUp('Account', ({ client }, found) => client.account.findUnique(found)),
  }),
  accounts: t.prismaConnection(
    {
      type: 'Account',
      cursor: 'distributorId_id',
      ...listOf('accounts', {
        filter: SetupFilter,
        where: setupWhere,
        order: BY_NAME,
        read: ({ client }, page) => client.account.findMany(page),
        count: ({ client }, where) => client.account.count({ where }),
      }),
    },
    ...pages('Account', 'accounts'),
  ),
}))

const inputs = setupInputs('Account', {
  externalRef: { type: 'String' },
  name: { type: 'String', needed: true },
  routes: { type: [ThingRefInput], needed: true, description: ROUTES },
  receivesWeekdays: { type: ['Int'], description: recordedList('Account', 'receivesWeekdays', 7) },
  settleDays: { type: 'Int' },
  minDaysOnSale: { type: 'Int' },
  maxEarlyDays: { type: 'Int' },
  returnDays: { type: 'Int' },
  notes: { type: 'String' },
  windows: { type: [AccountWindowInput], description: WINDOWS },
})

export const createAccountInput = inputs.createInput

setupMutations({
  kind: 'Account',
  payload: payloadOf('Account', (t) =>
    t.prismaField({
      type: 'Account',
      ...written('Account', ({ client }, found) => client.account.findUniqueOrThrow(found)),
    }),
  ),
  ...inputs,
  useCases: { create: createAccount, change: changeAccount, retire: retireAccount },
  retiring: 'It places no new orders.',
})
