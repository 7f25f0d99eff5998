// Vessels: their type, look-up, list and set-up mutations.
import { changeVessel, createVessel, retireVessel } from '../../resolvers/setup/vessel.ts'
import { inUnit } from '../../sheets/volumes.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { VesselKind } from '../words.ts'
import { BY_NAME, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, SiteSetupFilter, setupMutations, siteSetupWhere } from './setup.ts'
import { recorded, setupInputs } from './setup-inputs.ts'
import { unitArg } from './volume.ts'

const OUT_OF_SERVICE = 'Spans of days in which it is out of service, one for each first day; at most 200.'

builder.prismaObject('VesselOutage', {
  fields: (t) => ({
    from: t.expose('from', { type: 'LocalDate' }),
    to: t.expose('to', { type: 'LocalDate' }),
  }),
})

const OutageInput = builder.inputType('OutageInput', {
  description: 'A span of days in which a vessel is out of service, both ends included (V3).',
  fields: (t) => ({
    from: t.field({ type: 'LocalDate', required: true, description: recorded('VesselOutage', 'from') }),
    to: t.field({ type: 'LocalDate', required: true, description: recorded('VesselOutage', 'to') }),
  }),
})

export const VesselType = builder.prismaNode('Vessel', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    site: t.relation('site', { description: 'The site that it belongs to.' }),
    name: t.exposeString('name'),
    kind: t.expose('kind', { type: VesselKind }),
    capacityLitres: t.exposeFloat('capacityLitres'),
    capacity: t.float({
      description: 'Most that it holds of one batch (V2, V6), in the unit asked for.',
      args: { unit: unitArg(t) },
      resolve: ({ capacityLitres }, { unit }) => inUnit(capacityLitres, unit),
    }),
    minFillLitres: t.exposeFloat('minFillLitres'),
    minFill: t.float({
      description: 'Least that it takes of one batch (V2, V6), in the unit asked for.',
      args: { unit: unitArg(t) },
      resolve: ({ minFillLitres }, { unit }) => inUnit(minFillLitres, unit),
    }),
    turnaroundDays: t.exposeInt('turnaroundDays'),
    availableFrom: t.expose('availableFrom', { type: 'LocalDate', nullable: true }),
    outOfService: t.relation('outages', { description: OUT_OF_SERVICE, query: { orderBy: { from: 'asc' } } }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  vessel: t.prismaField({
    type: 'Vessel',
    ...lookUp('Vessel', ({ client }, found) => client.vessel.findUnique(found)),
  }),
  vessels: t.prismaConnection(
    {
      type: 'Vessel',
      cursor: 'distributorId_id',
      ...listOf('vessels', {
        filter: SiteSetupFilter,
        where: siteSetupWhere,
        order: BY_NAME,
        read: ({ client }, page) => client.vessel.findMany(page),
        count: ({ client }, where) => client.vessel.count({ where }),
      }),
    },
    ...pages('Vessel', 'vessels'),
  ),
}))

setupMutations({
  kind: 'Vessel',
  payload: payloadOf('Vessel', (t) =>
    t.prismaField({
      type: 'Vessel',
      ...written('Vessel', ({ client }, found) => client.vessel.findUniqueOrThrow(found)),
    }),
  ),
  ...setupInputs('Vessel', {
    externalRef: { type: 'String' },
    site: { type: ThingRefInput, needed: true, fixed: true, description: 'The site that it belongs to.' },
    name: { type: 'String', needed: true },
    kind: { type: VesselKind, needed: true, fixed: true },
    capacityLitres: { type: 'Float', needed: true },
    minFillLitres: { type: 'Float', needed: true },
    turnaroundDays: { type: 'Int', needed: true },
    availableFrom: { type: 'LocalDate' },
    outOfService: { type: [OutageInput], description: OUT_OF_SERVICE },
  }),
  useCases: { create: createVessel, change: changeVessel, retire: retireVessel },
  retiring: 'Nothing new enters it; what is in it may be drawn.',
})
