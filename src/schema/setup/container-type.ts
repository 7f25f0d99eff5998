// Container types: their type, look-up, list and set-up mutations.

import { changeContainerType, createContainerType, retireContainerType } from '../../resolvers/setup/container-type.ts'
import { inUnit } from '../../sheets/volumes.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { ContainerKind } from '../words.ts'
import { BY_NAME, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
import { setupInputs } from './setup-inputs.ts'
import { unitArg } from './volume.ts'

builder.prismaNode('ContainerType', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    name: t.exposeString('name'),
    kind: t.expose('kind', { type: ContainerKind }),
    nominalLitres: t.exposeFloat('nominalLitres'),
    volume: t.float({
      description: 'What it is sold as, in the unit asked for.',
      args: { unit: unitArg(t) },
      resolve: ({ nominalLitres }, { unit }) => inUnit(nominalLitres, unit),
    }),
    overfillFraction: t.exposeFloat('overfillFraction'),
    tareKg: t.exposeFloat('tareKg', { nullable: true }),
    pressureBar: t.exposeFloat('pressureBar', { nullable: true }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  containerType: t.prismaField({
    type: 'ContainerType',
    ...lookUp('ContainerType', ({ client }, found) => client.containerType.findUnique(found)),
  }),
  containerTypes: t.prismaConnection(
    {
      type: 'ContainerType',
      cursor: 'distributorId_id',
      ...listOf('container types', {
        filter: SetupFilter,
        where: setupWhere,
        order: BY_NAME,
        read: ({ client }, page) => client.containerType.findMany(page),
        count: ({ client }, where) => client.containerType.count({ where }),
      }),
    },
    ...pages('ContainerType', 'container types'),
  ),
}))

setupMutations({
  kind: 'ContainerType',
  payload: payloadOf('ContainerType', (t) =>
    t.prismaField({
      type: 'ContainerType',
      ...written('ContainerType', ({ client }, found) => client.containerType.findUniqueOrThrow(found)),
    }),
  ),
  ...setupInputs('ContainerType', {
    externalRef: { type: 'String' },
    name: { type: 'String', needed: true },
    kind: { type: ContainerKind, needed: true, fixed: true },
    nominalLitres: { type: 'Float', needed: true },
    overfillFraction: { type: 'Float' },
    tareKg: { type: 'Float' },
    pressureBar: { type: 'Float' },
  }),
  useCases: { create: createContainerType, change: changeContainerType, retire: retireContainerType },
  retiring: 'It takes no new packs.',
})
