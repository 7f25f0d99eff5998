// The distributor that the key belongs to.
import { builder } from './builder.ts'
import { needs } from './needs.ts'

export const DistributorType = builder.prismaObject('Distributor', {
  fields: (t) => ({
    name: t.exposeString('name'),
    timeZone: t.exposeString('timeZone'),
    revision: t.exposeInt('revision'),
    horizonDays: t.exposeInt('horizonDays'),
    frozenDays: t.exposeInt('frozenDays'),
  }),
})

builder.queryField('distributor', (t) =>
  t.prismaField({
    ...needs('any', 'The distributor that the key belongs to.'),
    type: 'Distributor',
    resolve: (query, _root, _args, { client, distributorId }) =>
      client.distributor.findUniqueOrThrow({ ...query, where: { id: distributorId } }),
  }),
)
