// Container types: their type, look-up, list and set-up mutations.

import { changeContainerType, createContainerType, retireContainerType } from '../../resolvers/setup/container-type.ts'
import type { Written } from '../../resolvers/setup/noun.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { ContainerKind } from '../words.ts'
import { byArg, idOf, revisionField, rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
import { setupInputs } from './setup-inputs.ts'
import { inUnit, unitArg } from './volume.ts'

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
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  containerType: t.prismaField({
    ...needs('any', 'One container type.'),
    type: 'ContainerType',
    nullable: true,
    args: { by: byArg(t) },
    resolve: async (query, _root, { by }, context) =>
      context.client.containerType.findUnique({
        ...query,
        where: rowKey(context, await idOf(context, 'ContainerType', by)),
      }),
  }),
  containerTypes: t.prismaConnection(
    {
      ...needs('any', 'Container types in order of name.'),
      type: 'ContainerType',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: SetupFilter, description: 'Which container types. Absent: all.' }) },
      resolve: (query, _root, args, context) =>
        context.client.containerType.findMany({
          ...query,
          where: setupWhere(context, args),
          orderBy: [{ name: 'asc' }, { id: 'asc' }],
        }),
      totalCount: (_root, args, context) => context.client.containerType.count({ where: setupWhere(context, args) }),
    },
    ...pages('ContainerType', 'container types'),
  ),
}))

setupMutations({
  kind: 'ContainerType',
  words: 'a container type',
  payload: builder.objectRef<Written>('ContainerTypePayload').implement({
    description: 'A container type that was written.',
    fields: (t) => ({
      revision: revisionField(t),
      containerType: t.prismaField({
        type: 'ContainerType',
        description: 'The container type as it is now.',
        resolve: (query, { id }, _args, context) =>
          context.client.containerType.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
      }),
    }),
  }),
  ...setupInputs('ContainerType', 'container type', {
    externalRef: { type: 'String' },
    name: { type: 'String', needed: true },
    kind: { type: ContainerKind, needed: true, fixed: true },
    nominalLitres: { type: 'Float', needed: true },
    overfillFraction: { type: 'Float' },
  }),
  useCases: { create: createContainerType, change: changeContainerType, retire: retireContainerType },
  retiring: 'It takes no new packs.',
})
