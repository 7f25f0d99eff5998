// Batches: their type, look-up, list, and the mutations that enter what stands in the cellar.

import { changeBatch, createBatch } from '../../resolvers/setup/batch.ts'
import { inUnit } from '../../sheets/volumes.ts'
import { builder } from '../builder.ts'
import type { Context } from '../context.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { BY_ID, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, StandingFilter, setupMutations, standingWhere } from './setup.ts'
import { setupInputs } from './setup-inputs.ts'
import { unitArg } from './volume.ts'

async function batchWhere(context: Context, args: { filter?: unknown }) {
  const { standing, where } = await standingWhere(context, args)
  return standing === undefined ? where : { ...where, emptiedOn: standing ? null : { not: null } }
}

builder.prismaNode('Batch', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    externalRef: t.exposeString('externalRef', { nullable: true }),
    code: t.exposeString('code'),
    beer: t.relation('beer', { description: 'The beer.' }),
    vessel: t.relation('vessel', { description: 'The vessel that it is in, or was in last.' }),
    litres: t.exposeFloat('litres'),
    volume: t.float({
      description: 'What can be drawn now (V2), in the unit asked for.',
      args: { unit: unitArg(t) },
      resolve: ({ litres }, { unit }) => inUnit(litres, unit),
    }),
    readyAt: t.expose('readyAt', { type: 'DateTime' }),
    brewedOn: t.expose('brewedOn', { type: 'LocalDate', nullable: true }),
    transferredOn: t.expose('transferredOn', { type: 'LocalDate', nullable: true }),
    openedOn: t.expose('openedOn', { type: 'LocalDate', nullable: true }),
    primable: t.exposeBoolean('primable'),
    fermentationProven: t.exposeBoolean('fermentationProven'),
    quarantined: t.exposeBoolean('quarantined'),
    emptiedOn: t.expose('emptiedOn', { type: 'LocalDate', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  batch: t.prismaField({ type: 'Batch', ...lookUp('Batch', ({ client }, found) => client.batch.findUnique(found)) }),
  batches: t.prismaConnection(
    {
      type: 'Batch',
      cursor: 'distributorId_id',
      ...listOf('batches', {
        filter: StandingFilter,
        where: batchWhere,
        order: BY_ID,
        read: ({ client }, page) => client.batch.findMany(page),
        count: ({ client }, where) => client.batch.count({ where }),
      }),
    },
    ...pages('Batch', 'batches'),
  ),
}))

setupMutations({
  kind: 'Batch',
  payload: payloadOf('Batch', (t) =>
    t.prismaField({ type: 'Batch', ...written('Batch', ({ client }, found) => client.batch.findUniqueOrThrow(found)) }),
  ),
  ...setupInputs('Batch', {
    externalRef: { type: 'String' },
    code: { type: 'String', needed: true },
    beer: { type: ThingRefInput, needed: true, fixed: true, description: 'The beer.' },
    vessel: { type: ThingRefInput, needed: true, description: 'The vessel that it is in; one batch at a time (V3).' },
    litres: { type: 'Float', needed: true },
    readyAt: { type: 'DateTime', needed: true },
    brewedOn: { type: 'LocalDate' },
    transferredOn: { type: 'LocalDate' },
    openedOn: { type: 'LocalDate' },
    primable: { type: 'Boolean' },
    quarantined: { type: 'Boolean' },
    emptiedOn: { type: 'LocalDate' },
  }),
  useCases: { create: createBatch, change: changeBatch },
  saidByFacts: 'its vessel, litres, days and quarantine',
})
