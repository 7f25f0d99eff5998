// Fillers: their type, look-up, list and set-up mutations.

import { changeFiller, createFiller, retireFiller } from '../../resolvers/setup/filler.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { BY_NAME, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, SiteSetupFilter, setupMutations, siteSetupWhere } from './setup.ts'
import { recorded, setupInputs } from './setup-inputs.ts'

const MINUTES_ON = 'Days on which it works other minutes than usual, one entry a day (L1); at most 4,000.'
const SETUPS = 'Set-up minutes by beer, where set-ups differ; a beer not listed sets up in no time (L1); at most 1,000.'
const FILLS = 'The container types that it can fill, with the minutes for each container (L1); at most 200.'

builder.prismaObject('FillerDay', {
  fields: (t) => ({ on: t.expose('on', { type: 'LocalDate' }), minutes: t.exposeFloat('minutes') }),
})

builder.prismaObject('FillerSetup', {
  fields: (t) => ({
    beer: t.relation('beer', { description: 'The beer.' }),
    minutes: t.exposeFloat('minutes'),
  }),
})

builder.prismaObject('FillerRate', {
  fields: (t) => ({
    containerType: t.relation('containerType', { description: 'The container type.' }),
    minutesEach: t.exposeFloat('minutesEach'),
  }),
})

const MinutesOnInput = builder.inputType('MinutesOnInput', {
  description: 'A day on which a filler works other minutes than usual (L1).',
  fields: (t) => ({
    on: t.field({ type: 'LocalDate', required: true, description: recorded('FillerDay', 'on') }),
    minutes: t.float({ required: true, description: recorded('FillerDay', 'minutes') }),
  }),
})

const SetupMinutesInput = builder.inputType('SetupMinutesInput', {
  description: 'How long a filler sets up for a beer (L1).',
  fields: (t) => ({
    beer: t.field({ type: ThingRefInput, required: true, description: 'The beer.' }),
    minutes: t.float({ required: true, description: recorded('FillerSetup', 'minutes') }),
  }),
})

const FillsInput = builder.inputType('FillsInput', {
  description: 'A container type that a filler can fill (L1).',
  fields: (t) => ({
    containerType: t.field({ type: ThingRefInput, required: true, description: 'The container type.' }),
    minutesEach: t.float({ required: true, description: recorded('FillerRate', 'minutesEach') }),
  }),
})

builder.prismaNode('Filler', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    site: t.relation('site', { description: 'The site that it belongs to.' }),
    name: t.exposeString('name'),
    minutesPerDay: t.exposeFloat('minutesPerDay'),
    minutesOn: t.relation('days', { description: MINUTES_ON, query: { orderBy: { on: 'asc' } } }),
    setupMinutes: t.exposeFloat('setupMinutes', { nullable: true }),
    setupMinutesByBeer: t.relation('setups', { description: SETUPS, query: { orderBy: { beerId: 'asc' } } }),
    setupLossLitres: t.exposeFloat('setupLossLitres'),
    washMinutes: t.exposeFloat('washMinutes'),
    fills: t.relation('rates', { description: FILLS, query: { orderBy: { containerTypeId: 'asc' } } }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  filler: t.prismaField({
    type: 'Filler',
    ...lookUp('Filler', ({ client }, found) => client.filler.findUnique(found)),
  }),
  fillers: t.prismaConnection(
    {
      type: 'Filler',
      cursor: 'distributorId_id',
      ...listOf('fillers', {
        filter: SiteSetupFilter,
        where: siteSetupWhere,
        order: BY_NAME,
        read: ({ client }, page) => client.filler.findMany(page),
        count: ({ client }, where) => client.filler.count({ where }),
      }),
    },
    ...pages('Filler', 'fillers'),
  ),
}))

setupMutations({
  kind: 'Filler',
  payload: payloadOf('Filler', (t) =>
    t.prismaField({
      type: 'Filler',
      ...written('Filler', ({ client }, found) => client.filler.findUniqueOrThrow(found)),
    }),
  ),
  ...setupInputs('Filler', {
    externalRef: { type: 'String' },
    site: { type: ThingRefInput, needed: true, fixed: true, description: 'The site that it belongs to.' },
    name: { type: 'String', needed: true },
    minutesPerDay: { type: 'Float', needed: true },
    minutesOn: { type: [MinutesOnInput], description: MINUTES_ON },
    setupMinutes: { type: 'Float' },
    setupMinutesByBeer: { type: [SetupMinutesInput], description: SETUPS },
    setupLossLitres: { type: 'Float' },
    washMinutes: { type: 'Float' },
    fills: { type: [FillsInput], needed: true, description: FILLS },
  }),
  useCases: { create: createFiller, change: changeFiller, retire: retireFiller },
  retiring: 'It fills nothing more.',
})
